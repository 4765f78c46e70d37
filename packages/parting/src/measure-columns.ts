/**
 * The volumes a field of columns holds: shadow, envelope, metal, back draft, and how far sampling may be off.
 *
 * Sampling error. Within a column everything is taken at its axis. Where a quantity changes steadily from column to column
 * that costs nothing, however steep it is; where it jumps (the rim of the shadow, the edge of a pocket), the column on the
 * jump is wrong by a random fraction of it, because the grid is turned off the part's own directions: a variance of the
 * jump's square over twelve. Second differences tell the two apart. They vanish on a slope, and a jump shows in two of
 * them, so their squares over twenty-four add up to the variance. Twice its root is stated.
 *
 * That takes the fractions to be independent. Along a straight edge that happens to run with the rows they are not, so the
 * field is also read as four fields of twice the spacing, every other row and every other column: where those disagree by
 * more than three times the error, a third of their range is stated instead.
 */
import {
  CELL_BOTTOM,
  CELL_CROSSINGS,
  CELL_METAL,
  CELL_STRIDE,
  CELL_TOP,
  imbalance,
  upwardCrossings,
} from './column-field.js';
import type { ColumnField } from './column-field.js';

/** What the columns hold. Volumes in mm³, areas in mm²; the `…Error…` fields are two standard errors of sampling. */
export interface ColumnMeasures {
  /** Area of the pattern's shadow along the draw. */
  readonly shadowAreaMm2: number;
  readonly shadowAreaErrorMm2: number;
  /** Volume between the highest and the lowest surface. */
  readonly envelopeMm3: number;
  /** Volume of metal in the balanced columns. */
  readonly solidMm3: number;
  /** Sand shut in between metal above and metal below in the balanced columns: no joint can free it. */
  readonly backDraftMm3: number;
  readonly backDraftErrorMm3: number;
  /** Volume by which shells overlap (metal counted twice), as far as columns show it; 0 for a sound pattern. */
  readonly overlapMm3: number;
  /** Mean number of stretches of metal per column; 1 exactly when the pattern draws. */
  readonly meanIntervals: number;
  /** Columns whose surfaces do not pair up: the surface is open or inconsistent there. */
  readonly unbalancedColumns: number;
  /** Envelope of the unbalanced columns: what is there is unknown. */
  readonly unknownMm3: number;
  /** Columns that met the pattern. */
  readonly hitColumns: number;
}

/** Reads the volumes off a field, without the error estimate: what a search needs. Cost: one pass over the columns. */
export function sumColumns(field: ColumnField): Omit<ColumnMeasures, 'shadowAreaErrorMm2' | 'backDraftErrorMm3'> {
  const { cells, column } = field;
  let hit = 0;
  let unbalanced = 0;
  let envelope = 0;
  let solid = 0;
  let held = 0;
  let overlap = 0;
  let unknown = 0;
  let intervals = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    const top = cells[i + CELL_TOP]!;
    if (top === -Infinity) continue;
    hit++;
    const crossings = cells[i + CELL_CROSSINGS]!;
    const height = top - cells[i + CELL_BOTTOM]!;
    envelope += height;
    if (imbalance(crossings) !== 0) {
      unbalanced++;
      unknown += height;
      continue;
    }
    intervals += upwardCrossings(crossings);
    const metal = cells[i + CELL_METAL]!;
    solid += metal;
    const gap = height - metal;
    if (gap >= 0) held += gap;
    else overlap -= gap;
  }
  const area = column * column;
  const balanced = hit - unbalanced;
  return {
    shadowAreaMm2: hit * area,
    envelopeMm3: envelope * area,
    solidMm3: solid * area,
    backDraftMm3: held * area,
    overlapMm3: overlap * area,
    meanIntervals: balanced > 0 ? intervals / balanced : 0,
    unbalancedColumns: unbalanced,
    unknownMm3: unknown * area,
    hitColumns: hit,
  };
}

/** Everything the columns hold, with sampling errors. Cost: three passes over the columns. */
export function measureColumns(field: ColumnField): ColumnMeasures {
  const { cells, column, nu, nv } = field;
  const gaps = new Float64Array(nu * nv);
  const mask = new Uint8Array(nu * nv);
  for (let k = 0; k < gaps.length; k++) {
    if (cells[k * CELL_STRIDE + CELL_TOP] === -Infinity) continue;
    mask[k] = 1;
    gaps[k] = heldIn(cells, k * CELL_STRIDE);
  }
  const area = column * column;
  return {
    ...sumColumns(field),
    shadowAreaErrorMm2: samplingError(mask, nu, nv, area),
    backDraftErrorMm3: samplingError(gaps, nu, nv, area),
  };
}

/**
 * Two standard errors of the sum of a quantity sampled at the columns' axes, times the columns' area. Outside the grid the
 * quantity is zero. See the head of this file for the reasoning.
 */
export function samplingError(values: ArrayLike<number>, nu: number, nv: number, areaMm2: number): number {
  let squares = 0;
  for (let row = 0; row < nv; row++) squares += bendSquares(values, row * nu, 1, nu);
  for (let x = 0; x < nu; x++) squares += bendSquares(values, x, nu, nv);
  return areaMm2 * Math.max(2 * Math.sqrt(squares / 24), rangeOfQuarters(values, nu, nv) / 3);
}

/** How far apart the sums are when only one column in four is used, four ways. */
function rangeOfQuarters(values: ArrayLike<number>, nu: number, nv: number): number {
  const sums = [0, 0, 0, 0];
  for (let row = 0; row < nv; row++) {
    let even = 0;
    let odd = 0;
    const end = (row + 1) * nu;
    let i = row * nu;
    for (; i + 1 < end; i += 2) {
      even += values[i];
      odd += values[i + 1];
    }
    if (i < end) even += values[i];
    sums[2 * (row & 1)] += even;
    sums[2 * (row & 1) + 1] += odd;
  }
  return 4 * (Math.max(...sums) - Math.min(...sums));
}

/** Sum of the squares of the second differences along a line of values with zeros before and after it. */
function bendSquares(values: ArrayLike<number>, start: number, step: number, count: number): number {
  let squares = 0;
  let before = 0;
  let here = 0;
  for (let k = 0, i = start; k <= count + 1; k++, i += step) {
    const next = k < count ? values[i]! : 0;
    const bend = next - 2 * here + before;
    squares += bend * bend;
    before = here;
    here = next;
  }
  return squares;
}

/** Length of sand shut in between metal in the column whose values start at `i`, mm; 0 where the column cannot be read. */
export function heldIn(cells: Float64Array, i: number): number {
  if (imbalance(cells[i + CELL_CROSSINGS]!) !== 0) return 0;
  return Math.max(0, cells[i + CELL_TOP]! - cells[i + CELL_BOTTOM]! - cells[i + CELL_METAL]!);
}
