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
  const { cells, nu, nv, column, origin, u, v, direction: d } = field;
  let tallest = 0;
  let where: Vec3 | null = null;
  let count = 0;
  const look = (i: number, j: number, cu: number, cv: number): void => {
    if (cells[j + CELL_TOP] === -Infinity) return;
    const over = cells[j + CELL_BOTTOM] - cells[i + CELL_TOP];
    const under = cells[i + CELL_BOTTOM] - cells[j + CELL_TOP];
    const step = Math.max(over, under);
    if (step < LEAST_STEP * column) return;
    count++;
    if (step <= tallest) return;
    tallest = step;
    const h = (over > under ? cells[i + CELL_TOP] : cells[j + CELL_TOP]) + step / 2;
    const [pu, pv] = [field.u0 + cu * column, field.v0 + cv * column];
    where = [0, 1, 2].map((k) => origin[k] + pu * u[k] + pv * v[k] + h * d[k]) as unknown as Vec3;
  };
  for (let y = 0; y < nv; y++) {
    for (let x = 0; x < nu; x++) {
      const i = (y * nu + x) * CELL_STRIDE;
      if (cells[i + CELL_TOP] === -Infinity) continue;
      if (x + 1 < nu) look(i, i + CELL_STRIDE, x + 0.5, y);
      if (y + 1 < nv) look(i, i + nu * CELL_STRIDE, x, y + 0.5);
    }
  }
  return where ? { height: tallest, where, length: count * column } : null;
}
