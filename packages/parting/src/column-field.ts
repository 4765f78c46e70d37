/**
 * What a pattern looks like from along one draw: a grid of columns parallel to the draw, each with its highest and lowest
 * metal and the length of metal between. Everything the advisor says about a draw is read from such a field.
 */
import type { Vec3 } from '@oddside/core';

/** Number of values kept per column in {@link ColumnField.cells}. */
export const CELL_STRIDE = 4;
/** Place of the height of the highest surface in a cell, mm along the draw from `origin`. −∞ where no surface is. */
export const CELL_TOP = 0;
/** Place of the height of the lowest surface in a cell. +∞ where no surface is. */
export const CELL_BOTTOM = 1;
/** Place of the signed sum of heights: the length of metal in the column, mm, where the column is balanced. */
export const CELL_METAL = 2;
/** Place of the crossings: upward surfaces × {@link UPWARD} − downward surfaces + upward surfaces; read with {@link upwardCrossings} and {@link imbalance}. */
export const CELL_CROSSINGS = 3;

/** Weight that keeps the two counts of a cell apart in one number; exact up to a million crossings. */
export const UPWARD: number = 2 ** 21;

/** The columns of a pattern along one direction. Plain data. */
export interface ColumnField {
  /** The draw, unit vector. */
  readonly direction: Vec3;
  /** In-plane unit vectors; `u × v = direction`. Turned off the file's axes so that no edge of a part lies along a row. */
  readonly u: Vec3;
  readonly v: Vec3;
  /** The point heights and in-plane places are counted from: the centre of the pattern's box, mm. */
  readonly origin: Vec3;
  /** Width of a column, mm. Features narrower than this can be missed. */
  readonly column: number;
  /** Columns along `u` and along `v`. */
  readonly nu: number;
  readonly nv: number;
  /** In-plane place of the axis of column (0, 0), mm along `u` and `v` from `origin`. */
  readonly u0: number;
  readonly v0: number;
  /** `nv × nu ×` {@link CELL_STRIDE} values, row by row. */
  readonly cells: Float64Array;
  /** Height of the lowest and highest corner of the pattern, mm along the draw from `origin`. Exact, not sampled. */
  readonly lowest: number;
  readonly highest: number;
}

/** Number of upward surfaces a column crosses: its intervals of metal when it is balanced. */
export function upwardCrossings(value: number): number {
  return Math.round(value / UPWARD);
}

/** Upward less downward surfaces in a column: 0 where the surface above and below is closed. */
export function imbalance(value: number): number {
  return value - Math.round(value / UPWARD) * UPWARD;
}
