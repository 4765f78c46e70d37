/**
 * The volumes a field of columns holds: shadow, envelope, metal, back draft, and how far sampling may be off.
 *
 * Sampling error. Within a column everything is taken at its axis. Where a quantity changes steadily from column to column
 * that costs next to nothing, however steep it is. Where it jumps (the rim of the shadow, the edge of a pocket) the columns
 * on the jump are wrong by some fraction of it, and how those fractions add up depends on how the edge lies to the grid: a
 * ragged edge gives a random sum, an edge along a row or a simple diagonal gives all of them alike, and most straight edges
 * give nearly even ones, which cancel. No one law of the edges alone holds for all three, so the grid is asked: every m-th
 * row and column make a grid of its own, m² of them for each m, and how far those differ is how far such a grid is off. A
 * random sum is off by 1/m of that on the whole grid. Along an edge whose columns are all alike, the coarse grids are off
 * by steps of what the whole one may be off by twice over, whatever m; 2/m of their standard deviation covers that too. So
 * two standard errors by such groups are stated, the mean square over m from 2 to 5 (derived; held by a test against solids
 * with known answers).
 *
 * A castable pattern holds nothing in any column, and its error is nothing as well. What lies between all the axes is not
 * seen: that is what the column's own width says.
 */
import { CELL_BOTTOM, CELL_CROSSINGS, CELL_METAL, CELL_STRIDE, CELL_TOP, imbalance } from './column-field.js';
import type { ColumnField } from './column-field.js';
import { columnSums, sumCells } from './sum-cells.js';

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

/** What the columns hold without its errors. */
export type ColumnSums = Omit<ColumnMeasures, 'shadowAreaErrorMm2' | 'backDraftErrorMm3'>;

/** Reads the volumes off a field, without the error estimate: what a search needs. Cost: one pass over the columns. */
export function sumColumns({ cells, column }: ColumnField): ColumnSums {
  return columnSums(sumCells(cells), column);
}

/** Everything the columns hold, with sampling errors. Cost: four passes over the columns. */
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

/** Strides of the coarser grids, and a number that all of them divide. */
const STRIDES = [2, 3, 4, 5];
const PERIOD = 60;

/**
 * Two standard errors of the sum of a quantity sampled at the columns' axes, times the columns' area. Outside the grid the
 * quantity is zero. See the head of this file for the reasoning. Cost: one pass over the columns.
 */
export function samplingError(values: ArrayLike<number>, nu: number, nv: number, areaMm2: number): number {
  const sums = new Float64Array(PERIOD * PERIOD);
  for (let row = 0, i = 0; row < nv; row++) {
    const base = (row % PERIOD) * PERIOD;
    for (let x = 0; x < nu;) {
      for (let k = base; k < base + PERIOD && x < nu; k++, x++, i++) sums[k] += values[i];
    }
  }
  let squares = 0;
  for (const m of STRIDES) squares += (2 / m) ** 2 * varianceOfGrids(sums, m);
  return areaMm2 * Math.sqrt(squares / STRIDES.length);
}

/** Variance of what the m² grids of every m-th row and column make of the whole sum. */
function varianceOfGrids(sums: Float64Array, m: number): number {
  const grids = new Float64Array(m * m);
  for (let y = 0; y < PERIOD; y++) {
    for (let x = 0; x < PERIOD; x++) grids[(y % m) * m + (x % m)] += sums[y * PERIOD + x];
  }
  const count = m * m;
  const mean = grids.reduce((sum, grid) => sum + grid, 0) / count;
  const squares = grids.reduce((sum, grid) => sum + (grid - mean) ** 2, 0);
  return (squares / (count - 1)) * count * count;
}

/** Length of sand shut in between metal in the column whose values start at `i`, mm; 0 where the column cannot be read. */
export function heldIn(cells: Float64Array, i: number): number {
  if (imbalance(cells[i + CELL_CROSSINGS]!) !== 0) return 0;
  return Math.max(0, cells[i + CELL_TOP]! - cells[i + CELL_BOTTOM]! - cells[i + CELL_METAL]!);
}
