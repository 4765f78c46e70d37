/** Numbers with their reasons: where a figure comes from and how it was worked out. */

/**
 * How far a figure can be trusted as to its origin.
 *
 * - `seen`: read in the named source.
 * - `from memory`: believed to stand in the named source; not re-read. Check it before relying on it.
 * - `common practice`: a shop rule without a published source.
 * - `derived`: computed from stated inputs; independent of any source.
 */
export type SourceStatus = 'seen' | 'from memory' | 'common practice' | 'derived';

/** Where a figure, a table row or a formula comes from. */
export interface Reference {
  readonly status: SourceStatus;
  /** Book, standard or data sheet in short form; `common practice, no source` where there is none. */
  readonly source: string;
}

/** The reference of a shop rule. */
export const COMMON_PRACTICE: Reference = Object.freeze({
  status: 'common practice',
  source: 'common practice, no source',
});

/** One quantity that went into a formula, or came out of it. */
export interface Quantity {
  readonly name: string;
  readonly value: number;
  /** Unit as printed: `mm`, `kg`, `°C`, `1` for a ratio. */
  readonly unit: string;
}

/** One formula as it was used. */
export interface Working {
  /** Plain name, such as `metal to melt from yield`. */
  readonly formula: string;
  /** The formula in words and signs, such as `melt = casting / yield`. */
  readonly expression: string;
  readonly inputs: readonly Quantity[];
  readonly result: Quantity;
  readonly reference: Reference;
}

/** A value with the range it may lie in; `low ≤ value ≤ high`. */
export interface Ranged {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
