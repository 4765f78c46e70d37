/** What a pattern is, once read: plain arrays, a unit that says where it came from, and what was found on the way. */
import type { Finding, LengthUnit } from '@oddside/core';

/** Where the unit of a pattern came from. */
export interface PatternUnit {
  readonly name: LengthUnit;
  /** `file`: the format says so. `caller`: the caller said so. `assumed`: nobody said; mm was taken and a finding says so. */
  readonly from: 'file' | 'caller' | 'assumed';
}

/**
 * The object to be cast, as a triangle mesh. Plain data: it can be sent to a worker or another copy of the library.
 * Functions never change a pattern; those that mend or move it return a new one.
 */
export interface Pattern {
  /** What to call it, usually the file's name without its ending. */
  readonly name: string;
  /** Corner coordinates in mm, n×3, x y z of each corner in turn. Equal corners are shared (exact weld). */
  readonly positions: Float64Array;
  /** Corner numbers of each triangle, m×3, counter-clockwise seen from outside on a sound pattern. */
  readonly triangles: Uint32Array;
  /** The unit of the file that was read. `positions` are in mm whatever it is. */
  readonly unit: PatternUnit;
  /** What was found on reading. */
  readonly findings: readonly Finding[];
}
