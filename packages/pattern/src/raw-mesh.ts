/** What a reader hands over: corners already welded, still in the file's own unit. */
import type { Finding, LengthUnit } from '@oddside/core';

export interface RawMesh {
  /** n×3, in the file's unit, every value finite. */
  readonly positions: Float64Array;
  /** m×3, every number below n. */
  readonly triangles: Uint32Array;
  /** The unit the file itself states, where its format has one. */
  readonly unit?: LengthUnit;
  /** A name the file gives the object. */
  readonly name?: string;
  readonly findings: Finding[];
}

/**
 * Coordinates beyond this, in any unit, are taken as damage: no mould is a thousand million kilometres wide, and their
 * fifth powers (inertia) would overflow.
 */
export const LARGEST_COORDINATE = 1e15;

/** True for a number that can be a coordinate. False for NaN, the infinities and absurd sizes. */
export function isCoordinate(value: number): boolean {
  return value >= -LARGEST_COORDINATE && value <= LARGEST_COORDINATE;
}
