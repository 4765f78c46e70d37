/** What does the work of a cast: in plain TypeScript or in WebAssembly, the same to the last bit. */
import type { Vec3 } from '@oddside/core';
import type { ColumnField } from './column-field.js';
import type { ColumnTally } from './tally-columns.js';

/** The box of a pattern in the frame of a draw, mm from its origin; all zero without corners. */
export interface CastBox {
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
  readonly minZ: number;
  readonly maxZ: number;
}

/** The grid of columns, see `ColumnField`. */
export interface CastGrid {
  readonly nu: number;
  readonly nv: number;
  readonly u0: number;
  readonly v0: number;
  readonly column: number;
  /** Added to a height and taken away again it rounds it to a whole step, see `heightRounder`. */
  readonly rounder: number;
}

/** Casts one pattern: first its corners are placed along a draw, then the grid laid over them is filled. */
export interface CastEngine {
  /** Turns the corners into the frame `u`, `v`, `d` and returns their box. */
  place(origin: Vec3, u: Vec3, v: Vec3, d: Vec3): CastBox;
  /** Fills a grid from the corners as they were last placed, once; the cells live until the next cast. */
  fillCells(grid: CastGrid): Float64Array;
  /** Adds up a field and finds its flat joint; quickest for the one whose cells were filled last. */
  tally(field: ColumnField): ColumnTally;
  /**
   * The triangles near a rim, by their numbers, see `pickNearRim`; `null` where the engine cannot tell, or holds another field.
   * The tables say how many numbered edges come before each column and row.
   */
  pickNear?(field: ColumnField, alongU: Int32Array, alongV: Int32Array): Uint32Array | null;
}
