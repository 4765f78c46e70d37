/** What burns or is skimmed off between the scale and the mould, element by element. */
import { checkNumber, OddsideError, type Reference } from '@oddside/core';
import { elements, type ElementSymbol } from './alloys/elements.js';
import { COMMON_PRACTICE, fromMemory, seen } from './references.js';
import type { SourcedRange } from './result.js';

const HANDBOOK = fromMemory('foundry handbooks: crucible melt, one heat, charged clean');
const HENLEY = seen("phosphor hardener, Henley's Twentieth Century Formulas, 1914: 92.6 % of the phosphorus kept");
const GEE = seen("G. E. Gee, The Silversmith's Handbook, 1877: 2.5 % of the silver never recovered");

const row = (value: number, low: number, high: number, reference: Reference): SourcedRange =>
  Object.freeze({ value, low, high, reference });

/** Loss of each element as a share of what was weighed in: (charge − melt) / charge. Frozen. */
export const meltLosses: Readonly<Record<ElementSymbol, SourcedRange>> = Object.freeze({
  Cu: row(0.0075, 0.005, 0.01, HANDBOOK),
  Sn: row(0.0075, 0.005, 0.01, HANDBOOK),
  // Whole melts of zinc-bearing statuary bronze lost 3–10 %, most of it zinc, so zinc alone can lose more.
  Zn: row(0.05, 0.03, 0.1, HANDBOOK),
  Pb: row(0.015, 0.01, 0.02, HANDBOOK),
  Al: row(0.02, 0.01, 0.03, HANDBOOK),
  Si: row(0.03, 0.02, 0.05, HANDBOOK),
  Mn: row(0.03, 0.02, 0.05, HANDBOOK),
  Fe: row(0.02, 0.01, 0.03, HANDBOOK),
  Ni: row(0.0075, 0.005, 0.01, COMMON_PRACTICE),
  Mg: row(0.05, 0.03, 0.15, COMMON_PRACTICE),
  P: row(0.074, 0.05, 0.3, HENLEY),
  Ag: row(0.01, 0.005, 0.025, GEE),
  Sb: row(0.015, 0.01, 0.03, COMMON_PRACTICE),
  Bi: row(0.01, 0.005, 0.02, COMMON_PRACTICE),
  C: row(0.03, 0, 0.08, COMMON_PRACTICE),
  Be: row(0.1, 0.05, 0.3, COMMON_PRACTICE),
  Ti: row(0.05, 0.02, 0.2, COMMON_PRACTICE),
});

/** Losses in place of the table's, as shares 0–0.9 of the weighed charge. */
export type LossOverrides = Readonly<Partial<Record<ElementSymbol, number>>>;

/** The loss of one element: the caller's figure, exactly, or the table's. */
export function lossOf(element: ElementSymbol, overrides: LossOverrides | undefined): SourcedRange {
  const own = overrides?.[element];
  if (own === undefined) return meltLosses[element];
  const value = checkNumber(`loss of ${element} (0–0.9)`, own, { min: 0, max: 0.9 });
  return row(value, value, value, { status: 'derived', source: "the caller's own figure" });
}

/** Refuses a loss for something that is no element here, rather than leaving it out silently. */
export function checkLosses(caller: string, overrides: LossOverrides | undefined): void {
  if (typeof (overrides ?? {}) !== 'object') {
    throw new OddsideError(
      'bad-option',
      `${caller}: lossFractions must be an object by element, such as { Zn: 0.05 }.`,
    );
  }
  for (const symbol of Object.keys(overrides ?? {})) {
    if (Object.hasOwn(elements, symbol)) continue;
    throw new OddsideError(
      'unknown-name',
      `${caller}: lossFractions takes element symbols (${Object.keys(elements).join(', ')}), but "${symbol}" came.`,
      { given: symbol },
    );
  }
}
