/**
 * Places inside the shadow where cope and drag must meet along an upright wall: metal ends above where its neighbour
 * begins. The pattern may still draw, but no unbroken joint surface exists there and the two sands shear past each other.
 */
import type { Vec3 } from '@oddside/core';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** Upright meetings of cope and drag inside the shadow. */
export interface ShutOff {
  /** Tallest of them, mm. */
  readonly height: number;
  /** Where that is: the middle of its height, in the pattern's coordinates. */
  readonly where: Vec3;
  /** How long they are together in plan, mm; seen along the grid, so up to 1.3 times too long. */
  readonly length: number;
}

/** Steps lower than this many columns may be a steep but unbroken slope. */
const LEAST_STEP = 3;

/** Looks for shut-offs. Cost: one pass over the columns. */
export function findShutOffs(field: ColumnField): ShutOff | null {
  const { cells, nu, nv, column } = field;
  const least = LEAST_STEP * column;
  let tallest = 0;
  /** Twice where it is, in columns. */
  let [atX, atY, count] = [0, 0, 0];
  for (let y = 0; y < nv; y++) {
    for (let x = 0; x < nu; x++) {
      const i = (y * nu + x) * CELL_STRIDE;
      if (cells[i + CELL_TOP] === -Infinity) continue;
      const beside = x + 1 < nu ? stepBetween(cells, i, i + CELL_STRIDE) : 0;
      if (beside >= least) count++;
      if (beside >= least && beside > tallest) [tallest, atX, atY] = [beside, 2 * x + 1, 2 * y];
      const behind = y + 1 < nv ? stepBetween(cells, i, i + nu * CELL_STRIDE) : 0;
      if (behind >= least) count++;
      if (behind >= least && behind > tallest) [tallest, atX, atY] = [behind, 2 * x, 2 * y + 1];
    }
  }
  return count > 0 ? { height: tallest, where: middleOf(field, atX, atY), length: count * column } : null;
}

/** How far the metal of one of two columns ends below where the other's begins; 0 or less where they meet, −∞ where one is empty. */
function stepBetween(cells: Float64Array, i: number, j: number): number {
  const over = cells[j + CELL_BOTTOM] - cells[i + CELL_TOP];
  const under = cells[i + CELL_BOTTOM] - cells[j + CELL_TOP];
  return cells[j + CELL_TOP] === -Infinity ? -Infinity : Math.max(over, under);
}

/** The middle of the step between two neighbours, in the pattern's coordinates; `x` and `y` are twice its place in columns. */
function middleOf({ cells, nu, u0, v0, column, origin, u, v, direction: d }: ColumnField, x: number, y: number): Vec3 {
  const i = ((y >> 1) * nu + (x >> 1)) * CELL_STRIDE;
  const j = i + (x & 1 ? 1 : nu) * CELL_STRIDE;
  const over = cells[j + CELL_BOTTOM] - cells[i + CELL_TOP];
  const under = cells[i + CELL_BOTTOM] - cells[j + CELL_TOP];
  const h = (over > under ? cells[i + CELL_TOP] : cells[j + CELL_TOP]) + Math.max(over, under) / 2;
  const [pu, pv] = [u0 + (x / 2) * column, v0 + (y / 2) * column];
  return [0, 1, 2].map((k) => origin[k] + pu * u[k] + pv * v[k] + h * d[k]) as unknown as Vec3;
}
