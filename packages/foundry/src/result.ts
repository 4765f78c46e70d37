/** The small shapes that every foundry result shares. */
import type { Finding, Quantity, Ranged, Reference, Working } from '@oddside/core';

/** What every result carries besides its numbers. */
export interface FoundryResult {
  /** Every formula that was used, in order, with its inputs, its result and where it comes from. */
  readonly workings: readonly Working[];
  /** What is worth knowing or wrong about this job; empty when there is nothing to say. */
  readonly findings: readonly Finding[];
}

/** A figure with its range and its origin: `low ≤ value ≤ high`. */
export interface SourcedRange extends Ranged {
  readonly reference: Reference;
}

/** The frozen defaults of an options object: every known key, `undefined` where the caller must or may say. */
export type DefaultsOf<Options> = { readonly [Key in keyof Required<Options>]: Options[Key] | undefined };

/** A value known exactly, or as good as. */
export const exactly = (value: number): Ranged => ({ value, low: value, high: value });

/** A value with a relative error: `share` 0.05 is ±5 %. */
export function give(value: number, share: number): Ranged {
  const spread = Math.abs(value) * share;
  return { value, low: value - spread, high: value + spread };
}

/** The same done to the value and to both ends of a range. */
export const mapRange = (range: Ranged, change: (value: number) => number): Ranged => ({
  value: change(range.value),
  low: change(range.low),
  high: change(range.high),
});

/** The product of two positive ranges, ends with ends: the widest the product can be. */
export const times = (a: Ranged, b: Ranged): Ranged => ({
  value: a.value * b.value,
  low: a.low * b.low,
  high: a.high * b.high,
});

/** The quotient of two positive ranges: the widest it can be. */
export const over = (a: Ranged, b: Ranged): Ranged => ({
  value: a.value / b.value,
  low: a.low / b.high,
  high: a.high / b.low,
});

/** The sum of ranges, ends with ends. */
export function plus(...terms: readonly Ranged[]): Ranged {
  return terms.reduce((sum, term) => ({
    value: sum.value + term.value,
    low: sum.low + term.low,
    high: sum.high + term.high,
  }));
}

/** One quantity of a working: name, value, unit as printed (`1` for a ratio). */
export const quantity = (name: string, value: number, unit: string): Quantity => ({ name, value, unit });

/** One formula as it was used. */
export function working(
  formula: string,
  expression: string,
  inputs: readonly Quantity[],
  result: Quantity,
  reference: Reference,
): Working {
  return { formula, expression, inputs, result, reference };
}
