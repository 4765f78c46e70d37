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

/** Ends to a bin, about, and most bins: one bin holds few ends, and finding it takes few steps. */
const ENDS_A_BIN = 8;
const MOST_BINS = 2048;

/** Arrays reused from one call to the next: a search asks thousands of times. */
export interface FlatJointRoom {
  bins: Uint32Array;
  ends: Float64Array;
}

/** Room for {@link findFlatJoint}; it grows as it is needed. */
export function makeFlatJointRoom(): FlatJointRoom {
  return { bins: new Uint32Array(0), ends: new Float64Array(0) };
}

/**
 * Finds the best flat joint of a field.
 *
 * @param room From {@link makeFlatJointRoom}. Default: made for this call.
 * @returns The joint. Cost: three passes over the columns; exact for the columns given.
 */
export function findFlatJoint(field: ColumnField, room: FlatJointRoom = makeFlatJointRoom()): FlatJoint {
  const { cells, lowest, highest, column } = field;
  const span = highest - lowest;
  const most = cells.length / (CELL_STRIDE / 2);
  if (room.ends.length < most) room.ends = new Float64Array(most);
  const count = Math.min(MOST_BINS, Math.max(16, Math.ceil(most / ENDS_A_BIN)));
  if (room.bins.length < count) room.bins = new Uint32Array(count);
  const { ends } = room;
  const bins = room.bins.subarray(0, count).fill(0);
  const perBin = span > 0 ? (count - 1) / span : 0;
  let n = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    const top = cells[i + CELL_TOP]!;
    if (top === -Infinity) continue;
    const bottom = cells[i + CELL_BOTTOM]!;
    ends[n] = top;
    ends[n + 1] = bottom;
    n += 2;
    bins[binOf(top - lowest, perBin, count)]!++;
    bins[binOf(bottom - lowest, perBin, count)]!++;
  }
  if (n === 0) return { low: lowest, high: highest, height: (lowest + highest) / 2, misfitMm3: 0 };
  const [low, high] = middleEnds(ends.subarray(0, n), bins, lowest, perBin);
  const height = chooseHeight(low, high, lowest, highest);
  let misfit = 0;
  for (let i = 0; i < n; i += 2) misfit += Math.max(0, ends[i + 1]! - height, height - ends[i]!);
  return { low, high, height, misfitMm3: misfit * column * column };
}

/** The two ends in the middle of an even number of them, exactly: counts find their bin, only what is in it is sorted. */
function middleEnds(ends: Float64Array, bins: Uint32Array, lowest: number, perBin: number): [number, number] {
  const rank = ends.length / 2 - 1;
  let bin = 0;
  let before = 0;
  while (before + bins[bin]! <= rank) before += bins[bin++]!;
  const inBin: number[] = [];
  // The second may be the least of all that lie in later bins.
  let later = Infinity;
  for (const end of ends) {
    const at = binOf(end - lowest, perBin, bins.length);
    if (at === bin) inBin.push(end);
    else if (at > bin && end < later) later = end;
  }
  inBin.sort((a, b) => a - b);
  const first = rank - before;
  return [inBin[first]!, first + 1 < inBin.length ? inBin[first + 1]! : later];
}

function binOf(above: number, perBin: number, bins: number): number {
  const bin = (above * perBin) | 0;
  return bin < 0 ? 0 : bin >= bins ? bins - 1 : bin;
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
