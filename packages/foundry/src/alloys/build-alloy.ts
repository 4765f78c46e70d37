/** Turns a compact table row into a full, frozen {@link Alloy}. */
import type { Reference } from '@oddside/core';
import { derived } from '../references.js';
import type { SourcedRange } from '../result.js';
import type { Alloy, AlloyElement, AlloyFamily, FreezingClass } from './alloy.js';
import type { ElementSymbol } from './elements.js';

/** An element with its limits in mass %: least, greatest, aim (0 for an impurity). */
export type Share = readonly [element: ElementSymbol, low: number, high: number, aim?: number];
/** A figure with its range: value, low, high, origin. Without an origin it stands on the sheet of the composition. */
export type Figure = readonly [value: number, low: number, high: number, origin?: Reference];

/** One row of the alloy tables. */
export interface AlloyRow {
  readonly id: string;
  readonly name: string;
  readonly standards: readonly string[];
  readonly alsoCalled?: readonly string[];
  readonly family: AlloyFamily;
  /** The base metal, which takes up the remainder of the aim. Its limits are what the others leave unless given. */
  readonly base: ElementSymbol | Share;
  readonly others: readonly Share[];
  readonly compositionReference: Reference;
  /** Density in g/cm³, as sheets print it. A bare number here and below has the spread of its kind. */
  readonly density: Figure | number;
  readonly liquidDensity: Figure;
  readonly solidus: Figure | number;
  readonly liquidus: Figure | number;
  readonly light: Figure;
  readonly heavy: Figure;
  /** In % of the casting's length. */
  readonly contraction: Figure;
  /** In % of volume. */
  readonly freezingShrinkage: Figure;
  readonly latentHeat: Figure;
  readonly solidHeat: Figure;
  readonly liquidHeat: Figure;
  readonly leastSection: Figure;
  readonly notes?: readonly string[];
}

/** Drops the last bits that a change of unit leaves, so that 8.86 g/cm³ is 8860 kg/m³ and nothing else. */
const tidy = (value: number): number => Number(value.toPrecision(12));

/** A figure printed without a range, given a spread of `share` (0.01 is ±1 %). */
export const around = (value: number, share: number, origin?: Reference): Figure => [
  value,
  value * (1 - share),
  value * (1 + share),
  origin,
];

/** Sheets print one density; composition limits move it by up to about 1 % by the mixture rule. */
export const density = (value: number, origin?: Reference): Figure => around(value, 0.01, origin);

/** A liquid density taken as a share of the solid one, where no figure was found. */
export const liquidShare = (solid: number, share: number, like: string): Figure =>
  around(solid * share, 0.03, derived(`liquid to solid density ratio of ${like}`));

/** A melting temperature printed as one figure: sheets round to 5–10 °C and composition moves it. */
export const melting = (value: number, origin?: Reference): Figure => [value, value - 10, value + 10, origin];

/** Freezing class from the two temperatures. */
export function freezingClassOf(solidusC: number, liquidusC: number): FreezingClass {
  const range = liquidusC - solidusC;
  return range < 50 ? 'short' : range <= 110 ? 'medium' : 'long';
}

function composition(base: ElementSymbol | Share, others: readonly Share[]): readonly AlloyElement[] {
  const sum = (pick: (share: Share) => number): number => others.reduce((total, share) => total + pick(share), 0);
  const aims = sum((share) => share[3] ?? 0);
  const [element, low, high] =
    typeof base === 'string'
      ? ([base, Math.max(0, 100 - sum((s) => s[2])), Math.min(100, 100 - sum((s) => s[1]))] as const)
      : base;
  const rows: Share[] = [[element, low, high, 100 - aims], ...others];
  return Object.freeze(
    rows.map(([symbol, least, most, aim = 0]) =>
      Object.freeze({ element: symbol, low: tidy(least / 100), high: tidy(most / 100), nominal: tidy(aim / 100) }),
    ),
  );
}

/** Builds one alloy from its row. */
export function buildAlloy(row: AlloyRow): Alloy {
  const sheet = row.compositionReference;
  const printed = (given: Figure | number, spread: (value: number) => Figure): Figure =>
    typeof given === 'number' ? spread(given) : given;
  // The factor is from the table's unit to ours.
  const figure = ([value, low, high, reference = sheet]: Figure, factor = 1): SourcedRange =>
    Object.freeze({ value: tidy(value * factor), low: tidy(low * factor), high: tidy(high * factor), reference });
  const solidus = printed(row.solidus, melting);
  const liquidus = printed(row.liquidus, melting);
  return Object.freeze({
    id: row.id,
    name: row.name,
    standards: Object.freeze([...row.standards]),
    alsoCalled: Object.freeze([...(row.alsoCalled ?? [])]),
    family: row.family,
    composition: composition(row.base, row.others),
    compositionReference: sheet,
    densityKgM3: figure(printed(row.density, density), 1000),
    liquidDensityKgM3: figure(row.liquidDensity, 1000),
    solidusC: figure(solidus),
    liquidusC: figure(liquidus),
    freezingClass: freezingClassOf(solidus[0], liquidus[0]),
    pouringLightC: figure(row.light),
    pouringHeavyC: figure(row.heavy),
    contraction: figure(row.contraction, 0.01),
    freezingShrinkage: figure(row.freezingShrinkage, 0.01),
    latentHeatKjKg: figure(row.latentHeat),
    solidHeatJKgK: figure(row.solidHeat),
    liquidHeatJKgK: figure(row.liquidHeat),
    leastSection: figure(row.leastSection),
    notes: Object.freeze([...(row.notes ?? [])]),
  });
}
