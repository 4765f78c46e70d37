/**
 * The best height for a flat joint.
 *
 * Moving a flat joint to height h traps, in every column, the distance from h to the column's own span of metal, on top
 * of what no joint can free. The sum over columns is convex and piecewise linear in h, so its least value lies at the
 * median of all column ends, lowest and highest taken together; between the two middle ends every height is equally good.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** Where a flat joint is best, heights in mm along the draw from the field's origin. */
export interface FlatJoint {
  /** Lowest and highest of the equally good heights. */
  readonly low: number;
  readonly high: number;
  /** The one to use, see {@link chooseHeight}. */
  readonly height: number;
  /** Sand a flat joint at that height traps beyond the back draft, mm³. */
  readonly misfitMm3: number;
}

const BINS = 2048;

/** Finds the best flat joint of a field. Cost: four passes over the columns; exact for the columns given. */
export function findFlatJoint(field: ColumnField): FlatJoint {
  const { cells, lowest, highest, column } = field;
  const span = highest - lowest;
  const perBin = span > 0 ? BINS / span : 0;
  const bins = new Uint32Array(BINS + 1);
  let ends = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    const top = cells[i + CELL_TOP]!;
    if (top === -Infinity) continue;
    bins[binOf(top - lowest, perBin)]!++;
    bins[binOf(cells[i + CELL_BOTTOM]! - lowest, perBin)]!++;
    ends += 2;
  }
  if (ends === 0) return { low: lowest, high: highest, height: (lowest + highest) / 2, misfitMm3: 0 };
  const low = endOfRank(cells, bins, lowest, perBin, ends / 2 - 1);
  const high = endOfRank(cells, bins, lowest, perBin, ends / 2);
  const height = chooseHeight(low, high, lowest, highest);
  return { low, high, height, misfitMm3: misfitLength(cells, height) * column * column };
}

/**
 * Chooses among equally good heights of a flat joint. Where the pattern's top is as good as any, the joint goes there: the whole pattern
 * lies in the drag and the cope is left flat, which is the least work and the least sand to hang. Otherwise its bottom if
 * that is as good, otherwise the middle of the range, which shares the depth.
 */
export function chooseHeight(low: number, high: number, lowest: number, highest: number): number {
  const near = 1e-9 * (highest - lowest);
  if (high >= highest - near) return highest;
  if (low <= lowest + near) return lowest;
  return (low + high) / 2;
}

/** Sum over columns of the distance from a height to the column's span, in lengths (multiply by the column's area). */
export function misfitLength(cells: Float64Array, height: number): number {
  let sum = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    const top = cells[i + CELL_TOP]!;
    if (top === -Infinity) continue;
    const bottom = cells[i + CELL_BOTTOM]!;
    if (bottom > height) sum += bottom - height;
    else if (top < height) sum += height - top;
  }
  return sum;
}

function binOf(above: number, perBin: number): number {
  const bin = (above * perBin) | 0;
  return bin < 0 ? 0 : bin > BINS ? BINS : bin;
}

/** The end of the given rank (0 = lowest), exactly: counts find its bin, only that bin is sorted. */
function endOfRank(cells: Float64Array, bins: Uint32Array, lowest: number, perBin: number, rank: number): number {
  let bin = 0;
  let before = 0;
  while (before + bins[bin]! <= rank) before += bins[bin++]!;
  const inBin = new Float64Array(bins[bin]!);
  let n = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    const top = cells[i + CELL_TOP]!;
    if (top === -Infinity) continue;
    const bottom = cells[i + CELL_BOTTOM]!;
    if (binOf(top - lowest, perBin) === bin) inBin[n++] = top;
    if (binOf(bottom - lowest, perBin) === bin) inBin[n++] = bottom;
  }
  return inBin.sort()[rank - before]!;
}
