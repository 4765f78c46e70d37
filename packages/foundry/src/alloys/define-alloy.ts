/** An alloy of the founder's own, from its composition. */
import {
  checkNumber,
  type Finding,
  formatShare,
  OddsideError,
  plainNumber,
  resolveOptions,
  type Working,
} from '@oddside/core';
import { between, notNegative } from '../check-option.js';
import { derived } from '../references.js';
import { type DefaultsOf, exactly, type FoundryResult, quantity, type SourcedRange, working } from '../result.js';
import type { Alloy } from './alloy.js';
import type { ElementSymbol } from './elements.js';
import { alloys } from './list.js';
import { checkComposition, type Composition, mixtureDensity } from './mixture-density.js';

/** What `defineAlloy` takes. */
export interface DefineAlloyOptions {
  /** Default: the composition, such as `Cu 95 Sn 5`. */
  readonly name?: string;
  /** Mass fractions by element that sum to 1, such as `{ Cu: 0.92, Sn: 0.08 }`. */
  readonly composition: Composition;
  /** How far each share may stray, 0–0.2, for `planCharge`. Default 0.01. */
  readonly tolerance?: number;
  /** Your own density, kg/m³, in place of the mixture's. */
  readonly densityKgM3?: number;
  /** Your own contraction as a share of the casting, in place of the nearest alloy's. */
  readonly contraction?: number;
}

/** The alloy, with what it was made from. It can be given wherever an alloy is asked for. */
export interface DefinedAlloy extends Alloy, FoundryResult {
  /** The listed alloy of nearest composition, whose foundry figures were taken over. */
  readonly nearest: { readonly id: string; readonly name: string; readonly distance: number };
  /** False when the mixture rule is known to be wrong for this kind, or no listed alloy is near. */
  readonly reliable: boolean;
}

export const DEFINE_ALLOY_DEFAULTS: DefaultsOf<DefineAlloyOptions> = Object.freeze({
  name: undefined,
  composition: undefined,
  tolerance: 0.01,
  densityKgM3: undefined,
  contraction: undefined,
});

/** Half the sum of the differences of shares: the part of the metal that would have to be exchanged, 0–1. */
function distanceOf(alloy: Alloy, shares: ReadonlyMap<ElementSymbol, number>): number {
  const rest = new Map(shares);
  let sum = 0;
  for (const { element, nominal } of alloy.composition) {
    sum += Math.abs(nominal - (rest.get(element) ?? 0));
    rest.delete(element);
  }
  for (const share of rest.values()) sum += share;
  return sum / 2;
}

const widthOf = (alloy: Alloy): number => alloy.composition.reduce((sum, part) => sum + part.high - part.low, 0);

const OWN = derived("the founder's own figure");

/**
 * Density by inverse-density mixing with its known error; everything else is taken over from the nearest listed alloy
 * with a wider range, and says so.
 *
 * @throws OddsideError `unknown-name` for an element, `bad-number` for shares that do not sum to 1.
 */
export function defineAlloy(options: DefineAlloyOptions): DefinedAlloy {
  const given = resolveOptions('defineAlloy', DEFINE_ALLOY_DEFAULTS, options);
  const shares = checkComposition('defineAlloy', given.composition);
  const tolerance = notNegative(given, 'tolerance', '0–0.2', 0.2);
  const ordered = [...shares].filter(([, share]) => share > 0).sort((a, b) => b[1] - a[1]);
  if (ordered.length === 0) throw new OddsideError('bad-number', 'defineAlloy: no element has a share above 0.');
  const ranked = alloys.map((alloy) => ({ alloy, distance: distanceOf(alloy, shares) }));
  // Of two alloys with the same aim the one with the narrower limits describes the metal better.
  const near = ranked.reduce((best, next) => {
    const nearer = next.distance - best.distance;
    if (Math.abs(nearer) > 1e-12) return nearer < 0 ? next : best;
    return widthOf(next.alloy) < widthOf(best.alloy) ? next : best;
  });
  const mixed = mixtureDensity(shares);
  const density: SourcedRange =
    given.densityKgM3 === undefined
      ? { ...mixed.densityKgM3, reference: derived(`inverse-density mixing: ${mixed.error}`) }
      : ownFigure(between(given, 'densityKgM3', 'kg/m³', 500, 25000));
  const model = near.alloy;
  const liquidShare = model.liquidDensityKgM3.value / model.densityKgM3.value;
  const name = given.name ?? ordered.map(([symbol, share]) => `${symbol} ${plainNumber(share * 100)}`).join(' ');
  // The further the neighbour, the less its figures say about this alloy.
  const widen = (figure: SourcedRange): SourcedRange => {
    const more = Math.abs(figure.value) * Math.min(0.5, near.distance);
    return {
      value: figure.value,
      low: figure.low - more,
      high: figure.high + more,
      reference: derived(`taken over from ${model.id}`),
    };
  };
  const contraction = given.contraction;
  const findings = findingsOf(near, mixed, given.densityKgM3 !== undefined);
  const workings: Working[] = [
    working(
      'density by mixing',
      'ρ = 1 / Σ (share / ρ of the element)',
      ordered.map(([symbol, share]) => quantity(symbol, share, '1')),
      quantity('density', mixed.densityKgM3.value, 'kg/m³'),
      derived(`inverse-density mixing: ${mixed.error}`),
    ),
  ];
  return Object.freeze({
    id: `own:${name}`,
    name,
    standards: [],
    alsoCalled: [],
    family: model.family,
    composition: ordered.map(([element, share]) => ({
      element,
      low: Math.max(0, share - tolerance),
      high: Math.min(1, share + tolerance),
      nominal: share,
    })),
    compositionReference: OWN,
    densityKgM3: density,
    liquidDensityKgM3: {
      value: density.value * liquidShare,
      low: density.low * liquidShare * 0.97,
      high: density.high * liquidShare * 1.03,
      reference: derived(`liquid to solid density ratio of ${model.id}`),
    },
    solidusC: widen(model.solidusC),
    liquidusC: widen(model.liquidusC),
    freezingClass: model.freezingClass,
    pouringLightC: widen(model.pouringLightC),
    pouringHeavyC: widen(model.pouringHeavyC),
    contraction:
      contraction === undefined
        ? widen(model.contraction)
        : ownFigure(checkNumber('contraction (0–0.1)', contraction, { min: 0, max: 0.1 })),
    freezingShrinkage: widen(model.freezingShrinkage),
    latentHeatKjKg: widen(model.latentHeatKjKg),
    solidHeatJKgK: widen(model.solidHeatJKgK),
    liquidHeatJKgK: widen(model.liquidHeatJKgK),
    leastSection: widen(model.leastSection),
    notes: [`Foundry figures are taken over from ${model.name} (${model.id}).`],
    nearest: { id: model.id, name: model.name, distance: near.distance },
    reliable: (mixed.reliable || given.densityKgM3 !== undefined) && near.distance <= 0.05,
    workings,
    findings,
  });
}

const ownFigure = (value: number): SourcedRange => ({ ...exactly(value), reference: OWN });

function findingsOf(
  near: { alloy: Alloy; distance: number },
  mixed: { error: string; reliable: boolean },
  ownDensity: boolean,
): Finding[] {
  const { alloy, distance } = near;
  const findings: Finding[] = [
    {
      code: 'nearest-alloy',
      severity: distance > 0.05 ? 'warning' : 'note',
      message: `The nearest listed alloy is ${alloy.name} (${alloy.id}), ${formatShare(distance, 2)} of the metal apart; its foundry figures are used.`,
      remedy:
        distance > 0.05
          ? 'Test pouring temperature and contraction before trusting them.'
          : `Use ${alloy.id} if it will serve.`,
    },
  ];
  if (!ownDensity && !mixed.reliable) {
    findings.push({
      code: 'mixture-density-poor',
      severity: 'warning',
      message: `The density is by mixing, and ${mixed.error}.`,
      remedy: 'Give densityKgM3 from a data sheet, or weigh a piece in air and in water.',
    });
  }
  return findings;
}
