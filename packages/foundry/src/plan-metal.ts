/** How much metal of what to melt for one casting, and in which pot. */
import { checkNumber, type Finding, OddsideError, type Ranged, resolveOptions, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { castingMass } from './casting-mass.js';
import { typicalYield } from './casting-yield.js';
import type { Caution } from './caution.js';
import { BANNER, cautionsFor } from './cautions.js';
import { type ChargeLine, chargeByElement } from './charge-by-element.js';
import { notNegative, positive } from './check-option.js';
import { type CrucibleResult, sizeCrucible } from './crucible.js';
import { judgeMetal, type MetalVerdict } from './judge-metal.js';
import { checkLosses, type LossOverrides } from './melt-loss.js';
import { derived, HEAT_BALANCE, HISCOX } from './references.js';
import {
  type DefaultsOf,
  exactly,
  type FoundryResult,
  give,
  mapRange,
  over,
  plus,
  quantity,
  type SourcedRange,
  times,
  working,
} from './result.js';

/** What `planMetal` takes. Say at most one of `yieldFraction`, `meltMassKg` and `systemVolumeMm3`. */
export interface PlanMetalOptions {
  /** Id, name or number of the alloy, or the alloy. */
  readonly alloy: string | Alloy;
  /** Volume of the casting, mm³: of the casting, not of a pattern made bigger for contraction. */
  readonly castingVolumeMm3: number;
  /** By how much that volume may be off either way, mm³. Default 0. */
  readonly volumeErrorMm3?: number;
  /** Casting mass over metal melted, 0.05–1, gating, feeders and spare all in. Default: typical of the metal. */
  readonly yieldFraction?: number | Ranged;
  /** Metal you mean to melt, kg; the yield follows from it. */
  readonly meltMassKg?: number;
  /** Volume of basin, sprue, runner, gates and feeders, mm³, from a sized system. */
  readonly systemVolumeMm3?: number | Ranged;
  /** Metal beyond what the mould takes, as a share of it, 0–1. Default 0.1 with `systemVolumeMm3`, else 0 (in the yield). */
  readonly spareFraction?: number;
  /** Porosity of the casting, 0–0.2. Default 0; the low end of the mass allows for 2 %, as castings carry 0.5–2 %. */
  readonly porosityFraction?: number;
  /** How far rapping moves each wall of the mould outward, mm. Default 0. Needs `areaMm2`. */
  readonly rapping?: number;
  /** Surface of the casting, mm², for rapping. */
  readonly areaMm2?: number;
  /** Melt losses in place of the table's, by element. */
  readonly lossFractions?: LossOverrides;
  /** How full the pot may be in work. Default 0.8. */
  readonly fillFraction?: number;
  /** Number of the bilge pot at hand. */
  readonly crucibleNumber?: number;
  /** Metal at hand, kg; the verdict compares it with what is needed. */
  readonly availableMassKg?: number;
}

/** What must be melted. */
export interface MetalPlan extends FoundryResult {
  readonly alloy: string;
  readonly castingMassKg: Ranged;
  /** Liquid metal wanted in the pot when pouring starts. */
  readonly meltMassKg: Ranged;
  /** Casting over melt, 0–1. */
  readonly yieldFraction: Ranged;
  /** Metal to weigh in, losses covered: the sum of the charge. */
  readonly chargeMassKg: Ranged;
  /** What to weigh in of each element, the base first. */
  readonly charge: readonly ChargeLine[];
  readonly crucible: CrucibleResult;
  readonly pouringTemperatureC: { readonly light: SourcedRange; readonly heavy: SourcedRange };
  readonly verdict: MetalVerdict;
  readonly cautions: readonly Caution[];
  /** To print before the numbers. */
  readonly banner: string;
  /** False when the volume's own error makes the mass uncertain by more than a fifth. */
  readonly reliable: boolean;
}

export const PLAN_METAL_DEFAULTS: DefaultsOf<PlanMetalOptions> = Object.freeze({
  alloy: undefined,
  castingVolumeMm3: undefined,
  volumeErrorMm3: 0,
  yieldFraction: undefined,
  meltMassKg: undefined,
  systemVolumeMm3: undefined,
  spareFraction: undefined,
  porosityFraction: 0,
  rapping: 0,
  areaMm2: undefined,
  lossFractions: undefined,
  fillFraction: 0.8,
  crucibleNumber: undefined,
  availableMassKg: undefined,
});

/** A plain yield is a judgement: off by this much either way. */
const YIELD_SPREAD = 0.05;

/**
 * Casting mass, metal to melt, charge by element, pot and verdict.
 *
 * Errors are added end to end, not averaged: the ranges are the worst that the stated errors allow.
 *
 * @throws OddsideError `unknown-alloy`, `bad-number`, or `bad-option` for contradicting options.
 */
export function planMetal(options: PlanMetalOptions): MetalPlan {
  const given = resolveOptions('planMetal', PLAN_METAL_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  checkLosses('planMetal', given.lossFractions);
  const findings: Finding[] = alloy.notes.map((message) => ({ code: 'alloy-note', severity: 'note', message }));
  const workings: Working[] = [];
  const mass = castingMass(given, alloy);
  if (given.availableMassKg !== undefined) notNegative(given, 'availableMassKg', 'kg');
  const castingMassKg = mass.massKg;
  workings.push(mass.working);
  const wanted = meltMass(given, alloy, castingMassKg, workings, findings);
  const { charge, chargeMassKg } = chargeByElement(alloy, wanted.meltMassKg, given.lossFractions);
  const crucible = sizeCrucible({
    meltMassKg: wanted.meltMassKg.value,
    liquidDensityKgM3: alloy.liquidDensityKgM3.value,
    fillFraction: given.fillFraction,
    crucibleNumber: given.crucibleNumber,
  });
  const relative = (castingMassKg.high - castingMassKg.low) / castingMassKg.value;
  const reliable = relative <= 0.4;
  if (!reliable) {
    findings.push({
      code: 'mass-uncertain',
      severity: 'warning',
      message: `The casting's mass is uncertain by ${Math.round(relative * 50)} % either way, because its volume is.`,
      remedy: 'Mend the pattern or weigh it in water before trusting the charge.',
    });
  }
  workings.push(
    working(
      'charge from melt and losses',
      'charge of an element = melt × share / (1 − loss), summed',
      [quantity('melt', wanted.meltMassKg.value, 'kg')],
      quantity('charge', chargeMassKg.value, 'kg'),
      HEAT_BALANCE,
    ),
    ...crucible.workings,
  );
  const verdict = judgeMetal({
    castingMassKg,
    meltMassKg: wanted.meltMassKg,
    chargeMassKg,
    yieldFraction: wanted.yieldFraction,
    usualYield: typicalYield(alloy),
    availableMassKg: given.availableMassKg,
    systemKnown: given.systemVolumeMm3 !== undefined,
  });
  findings.push(...verdict.findings, ...crucible.findings);
  return {
    alloy: alloy.id,
    castingMassKg,
    ...wanted,
    chargeMassKg,
    charge,
    crucible,
    pouringTemperatureC: { light: alloy.pouringLightC, heavy: alloy.pouringHeavyC },
    verdict: { risk: verdict.risk, text: verdict.text },
    cautions: cautionsFor(alloy, { massKg: wanted.meltMassKg.value }),
    banner: BANNER,
    reliable,
    workings,
    findings,
  };
}

function meltMass(
  given: typeof PLAN_METAL_DEFAULTS,
  alloy: Alloy,
  castingMassKg: Ranged,
  workings: Working[],
  findings: Finding[],
): { meltMassKg: Ranged; yieldFraction: Ranged } {
  const ways = [given.yieldFraction, given.meltMassKg, given.systemVolumeMm3].filter((way) => way !== undefined);
  if (ways.length > 1) {
    throw new OddsideError(
      'bad-option',
      'planMetal takes at most one of yieldFraction, meltMassKg and systemVolumeMm3; more than one came.',
    );
  }
  const spare = given.spareFraction ?? (given.systemVolumeMm3 === undefined ? 0 : 0.1);
  checkNumber('spareFraction (0–1)', spare, { min: 0, max: 1 });
  const casting = quantity('casting', castingMassKg.value, 'kg');
  if (given.meltMassKg !== undefined) {
    const melt = exactly(positive(given, 'meltMassKg', 'kg'));
    const yieldFraction = over(castingMassKg, melt);
    const inputs = [casting, quantity('melt', melt.value, 'kg')];
    const result = quantity('yield', yieldFraction.value, '1');
    workings.push(working('yield from the melt', 'yield = casting / melt', inputs, result, YIELD));
    return { meltMassKg: melt, yieldFraction };
  }
  if (given.systemVolumeMm3 !== undefined) {
    const system = asRange('systemVolumeMm3 (mm³)', given.systemVolumeMm3, 0, Infinity, 0.1);
    const systemMassKg = times(
      system,
      mapRange(alloy.densityKgM3, (rho) => rho * 1e-9),
    );
    const melt = times(plus(castingMassKg, systemMassKg), exactly(1 + spare));
    workings.push(
      working(
        'melt from the sized system',
        'melt = (casting + gating and feeders) × (1 + spare)',
        [casting, quantity('gating and feeders', systemMassKg.value, 'kg'), quantity('spare', spare, '1')],
        quantity('melt', melt.value, 'kg'),
        HISCOX,
      ),
    );
    return { meltMassKg: melt, yieldFraction: ofItself(castingMassKg, melt) };
  }
  const assumed = given.yieldFraction === undefined;
  const usual = typicalYield(alloy);
  const yieldFraction = assumed
    ? { value: usual.value, low: usual.low, high: usual.high }
    : asRange('yieldFraction (0.05–1)', given.yieldFraction!, 0.05, 1, undefined);
  if (assumed) {
    findings.push({
      code: 'yield-assumed',
      severity: 'note',
      message: `A yield of ${Math.round(usual.value * 100)} % (${Math.round(usual.low * 100)}–${Math.round(usual.high * 100)} %) is assumed, typical of this metal.`,
      remedy: 'Size the gating and feeders, or give your own yieldFraction.',
    });
  }
  // A castable melt follows from the casting's own range and the yield's, each at its worst.
  const melt = times(over(castingMassKg, yieldFraction), exactly(1 + spare));
  workings.push(
    working(
      'melt from yield',
      spare > 0 ? 'melt = casting / yield × (1 + spare)' : 'melt = casting / yield',
      [casting, quantity('yield', yieldFraction.value, '1'), ...(spare > 0 ? [quantity('spare', spare, '1')] : [])],
      quantity('melt', melt.value, 'kg'),
      assumed ? usual.reference : YIELD,
    ),
  );
  return { meltMassKg: melt, yieldFraction };
}

const YIELD = derived('definition of yield: casting over metal melted; the spare is common practice');

/** The yield of a melt that contains the casting: both ends move together, so like is divided by like. */
const ofItself = (casting: Ranged, melt: Ranged): Ranged => {
  const ends = [casting.low / melt.low, casting.high / melt.high, casting.value / melt.value];
  return { value: casting.value / melt.value, low: Math.min(...ends), high: Math.max(...ends) };
};

function asRange(what: string, given: number | Ranged, min: number, max: number, share: number | undefined): Ranged {
  if (typeof given !== 'object' || given === null) {
    const value = checkNumber(what, given, { min, max });
    if (share !== undefined) return give(value, share);
    return { value, low: Math.max(min, value - YIELD_SPREAD), high: Math.min(max, value + YIELD_SPREAD) };
  }
  const low = checkNumber(`${what} low`, given.low, { min, max });
  const high = checkNumber(`${what} high`, given.high, { min: low, max });
  return { value: checkNumber(what, given.value, { min: low, max: high }), low, high };
}
