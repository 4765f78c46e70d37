/**
 * A joint carried on from the pattern out into the sand: everywhere the flat height, moved only as far as the cones from
 * the pattern's two sides make it.
 */
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
  const { over } = conesOver(corridor, low, 1, { west: 0, north: 0, width, height }, -Infinity);
  for (let i = 0; i < low.length; i++) {
    if (low[i] <= high[i] && over[i] > high[i] + slack) return false;
  }
  return true;
}

/**
 * Extends a joint that runs between `low` and `high` over the pattern.
 *
 * @param pad Columns of sand outside the shadow's box that are looked at.
 * @returns The joint. Cost: some 100 ns a column that is not left flat.
 */
export function extendJoint(corridor: Corridor, pad: number, flatHeight: number): ExtendedJoint {
  const { width, low, high } = corridor;
  const lot = lotFor(corridor, pad, flatHeight);
  const { over } = conesOver(corridor, low, 1, lot, flatHeight);
  const { over: under } = conesOver(corridor, high, -1, lot, -flatHeight);
  let outside = 0;
  for (let row = -lot.north, i = 0; row < lot.height - lot.north; row++) {
    const within = row >= 0 && row < corridor.height;
    for (let x = -lot.west; x < lot.width - lot.west; x++, i++) {
      const k = row * width + x;
      if (within && x >= 0 && x < width && low[k] <= high[k]) continue;
      const off = Math.max(over[i] - flatHeight, flatHeight + under[i]);
      if (off > 0) outside += off;
    }
  }
  const clamped = (place: number, size: number): number => Math.max(0, Math.min(size - 1, place));
  const heightAt: HeightAt = (x, row) =>
    betweenColumns(x, row, (column, k) => {
      const i = clamped(column + lot.west, lot.width) + clamped(k + lot.north, lot.height) * lot.width;
      return Math.max(over[i], Math.min(-under[i], flatHeight));
    });
  return { outside, heightAt };
}

/** The columns that are looked at: the pattern's, and so many more before the first column and row; so many in all. */
interface Lot {
  readonly west: number;
  readonly north: number;
  readonly width: number;
  readonly height: number;
}

/** The smallest lot on whose rim no cone is left above or below the flat height, or as far as the pad goes. */
function lotFor({ width, height, low, high, most }: Corridor, pad: number, flatHeight: number): Lot {
  let [west, north, east, south] = [0, 0, 0, 0];
  for (let row = 0, i = 0; row < height; row++) {
    for (let x = 0; x < width; x++, i++) {
      if (low[i] > high[i]) continue;
      const reach = Math.max(low[i] - flatHeight, flatHeight - high[i]) / most;
      if (reach - x > west) west = reach - x;
      if (reach - row > north) north = reach - row;
      if (reach + x > east) east = reach + x;
      if (reach + row > south) south = reach + row;
    }
  }
  // One more is flat, whichever way the cones' heights were rounded.
  const out = (reach: number): number => Math.min(pad, Math.ceil(Math.min(pad, Math.max(0, reach))) + 1);
  const [before, above] = [out(west), out(north)];
  return {
    west: before,
    north: above,
    width: before + width + out(east - (width - 1)),
    height: above + height + out(south - (height - 1)),
  };
}

/** Cones on the pattern's columns, `sign` times their heights, spread over a lot; ended at a floor. */
function conesOver(
  { width, height, low, high, most }: Corridor,
  tips: Float64Array,
  sign: 1 | -1,
  lot: Lot,
  floor: number,
): ConeField {
  const cones = startCones(lot.width, lot.height, most, floor);
  for (let row = 0, i = 0; row < height; row++) {
    for (let x = 0; x < width; x++, i++) {
      const z = sign * tips[i];
      if (low[i] <= high[i] && z >= floor) addCone(cones, x + lot.west, row + lot.north, z);
    }
  }
  spreadCones(cones);
  return cones;
}

/** A height between four columns, from theirs. */
export function betweenColumns(x: number, row: number, at: HeightAt): number {
  const [i, k] = [Math.floor(x), Math.floor(row)];
  const [p, q] = [x - i, row - k];
  return (1 - q) * ((1 - p) * at(i, k) + p * at(i + 1, k)) + q * ((1 - p) * at(i, k + 1) + p * at(i + 1, k + 1));
}
