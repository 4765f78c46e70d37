/**
 * A joint carried on from the pattern out into the sand: everywhere the flat height, moved only as far as the cones from
 * the pattern's two sides make it.
 */
import { CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { addCone, spreadCones, startCones, type ConeField } from './dilate-cones.js';
import type { Corridor } from './sloped-grid.js';

/** Height of a joint over a place in columns, mm along the draw from the field's origin. */
export type HeightAt = (x: number, row: number) => number;

/** A joint over pattern and sand. */
export interface ExtendedJoint {
  /** Sum of its distances from the flat joint over the columns outside the shadow, out to the margin. */
  readonly outside: number;
  readonly heightAt: HeightAt;
}

/**
 * Whether some joint within the slope passes through a corridor. It does unless a cone down from one column's lower bound
 * stands over another's upper one; neighbours are asked first, because most corridors fail there.
 */
export function fitsCorridor(corridor: Corridor, slack: number): boolean {
  const { width, height, low, high, most } = corridor;
  const tooSteep = (i: number, j: number): boolean =>
    low[i] <= high[i] && low[j] <= high[j] && Math.max(low[i] - high[j], low[j] - high[i]) > most + slack;
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      const i = row * width + x;
      if (x + 1 < width && tooSteep(i, i + 1)) return false;
      if (row + 1 < height && tooSteep(i, i + width)) return false;
    }
  }
  const least = conesOver(corridor, low, 1, 0, -Infinity);
  for (let i = 0; i < low.length; i++) {
    if (low[i] <= high[i] && least.over[i] > high[i] + slack) return false;
  }
  return true;
}

/**
 * Extends a joint that runs between `low` and `high` over the pattern.
 *
 * @param pad Columns of sand outside the shadow's box that are looked at.
 * @returns The joint. Cost: some 50 ns a column that is not left flat.
 */
export function extendJoint(corridor: Corridor, field: ColumnField, pad: number, flatHeight: number): ExtendedJoint {
  const { width, height, low, high, most } = corridor;
  let reach = 0;
  for (let i = 0; i < low.length; i++) {
    if (low[i] <= high[i]) reach = Math.max(reach, low[i] - flatHeight, flatHeight - high[i]);
  }
  // Further out than its cones reach the joint is flat.
  const near = Math.min(pad, Math.ceil(Math.min(pad, reach / most)) + 1);
  const over = conesOver(corridor, low, 1, near, flatHeight);
  const under = conesOver(corridor, high, -1, near, -flatHeight);
  const across = width + 2 * near;
  const down = height + 2 * near;
  const outside = sumOutside(field, near, (x, row) => {
    const i = (row + near) * across + x + near;
    return Math.max(0, over.over[i] - flatHeight, flatHeight + under.over[i]);
  });
  const within = (place: number, size: number): number => Math.max(0, Math.min(size - 1, place));
  const heightAt: HeightAt = (x, row) =>
    betweenColumns(x, row, (column, k) => {
      const i = within(column + near, across) + within(k + near, down) * across;
      return Math.max(over.over[i], Math.min(-under.over[i], flatHeight));
    });
  return { outside, heightAt };
}

/** Cones on the pattern's columns, `sign` times their heights, spread so far outside the grid; ended at a floor. */
function conesOver(
  { width, height, low, high, most }: Corridor,
  tips: Float64Array,
  sign: 1 | -1,
  pad: number,
  floor: number,
): ConeField {
  const cones = startCones(width + 2 * pad, height + 2 * pad, most, floor);
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      const i = row * width + x;
      if (low[i] <= high[i]) addCone(cones, x + pad, row + pad, sign * tips[i]);
    }
  }
  spreadCones(cones);
  return cones;
}

/** Sum over the columns outside the shadow, out to the margin. */
export function sumOutside({ cells, nu, nv }: ColumnField, pad: number, of: HeightAt): number {
  let sum = 0;
  for (let row = -pad; row < nv + pad; row++) {
    for (let x = -pad; x < nu + pad; x++) {
      const inside = x >= 0 && row >= 0 && x < nu && row < nv;
      if (!inside || cells[(row * nu + x) * CELL_STRIDE + CELL_TOP] === -Infinity) sum += of(x, row);
    }
  }
  return sum;
}

/** A height between four columns, from theirs. */
export function betweenColumns(x: number, row: number, at: HeightAt): number {
  const [i, k] = [Math.floor(x), Math.floor(row)];
  const [p, q] = [x - i, row - k];
  return (1 - q) * ((1 - p) * at(i, k) + p * at(i + 1, k)) + q * ((1 - p) * at(i, k + 1) + p * at(i + 1, k + 1));
}
