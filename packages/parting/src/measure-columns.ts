/**
 * The volumes a field of columns holds: shadow, envelope, metal, back draft, and how far sampling may be off.
 *
 * Sampling error. Within a column everything is taken at its axis. Where a quantity changes smoothly from column to
 * column that costs next to nothing; where it jumps (the rim of the shadow, the edge of a pocket), each column on the
 * jump is wrong by up to the jump, as a random fraction of it, because the grid is turned off the part's own directions.
 * So the squares of the differences between neighbours, over twelve, add up to the variance. Twice its root is stated.
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

/** Everything the columns hold, with sampling errors. Cost: two passes over the columns. */
export function measureColumns(field: ColumnField): ColumnMeasures {
  const { cells, column, nu, nv } = field;
  let maskSquares = 0;
  let gapSquares = 0;
  const rowLength = nu * CELL_STRIDE;
  for (let row = 0; row <= nv; row++) {
    let hereBefore = false;
    let gapBefore = 0;
    for (let x = 0; x <= nu; x++) {
      // One column of nothing is read past the last row and the last column, so that the rim counts on every side.
      const inside = row < nv && x < nu;
      const i = row * rowLength + x * CELL_STRIDE;
      const here = inside && cells[i + CELL_TOP]! !== -Infinity;
      const gap = here ? gapOf(cells, i) : 0;
      const above = row > 0 && x < nu && cells[i - rowLength + CELL_TOP]! !== -Infinity;
      const gapAbove = above ? gapOf(cells, i - rowLength) : 0;
      if (here !== hereBefore) maskSquares++;
      if (here !== above) maskSquares++;
      gapSquares += (gap - gapBefore) ** 2 + (gap - gapAbove) ** 2;
      hereBefore = here;
      gapBefore = gap;
    }
  }
  const area = column * column;
  return {
    ...sumColumns(field),
    shadowAreaErrorMm2: 2 * area * Math.sqrt(maskSquares / 12),
    backDraftErrorMm3: 2 * area * Math.sqrt(gapSquares / 12),
  };
}

function gapOf(cells: Float64Array, i: number): number {
  if (imbalance(cells[i + CELL_CROSSINGS]!) !== 0) return 0;
  return Math.max(0, cells[i + CELL_TOP]! - cells[i + CELL_BOTTOM]! - cells[i + CELL_METAL]!);
}
