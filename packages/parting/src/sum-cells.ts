/** What the cells of a field add up to, before it is told in volumes: the same from plain TypeScript and from the kernel. */
import {
  CELL_BOTTOM,
  CELL_CROSSINGS,
  CELL_METAL,
  CELL_STRIDE,
  CELL_TOP,
  imbalance,
  upwardCrossings,
} from './column-field.js';
import type { ColumnSums } from './measure-columns.js';

/** Counts of columns and sums of lengths in them, mm; see `ColumnMeasures`. */
export interface CellSums {
  readonly hit: number;
  readonly unbalanced: number;
  readonly intervals: number;
  readonly envelope: number;
  readonly solid: number;
  readonly held: number;
  readonly overlap: number;
  readonly unknown: number;
}

/** Adds up cells in their order. */
export function sumCells(cells: Float64Array): CellSums {
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
  return { hit, unbalanced, intervals, envelope, solid, held, overlap, unknown };
}

/** The same in areas and volumes, of columns so wide. */
export function columnSums(sums: CellSums, column: number): ColumnSums {
  const { hit, unbalanced, intervals } = sums;
  const area = column * column;
  const balanced = hit - unbalanced;
  return {
    shadowAreaMm2: hit * area,
    envelopeMm3: sums.envelope * area,
    solidMm3: sums.solid * area,
    backDraftMm3: sums.held * area,
    overlapMm3: sums.overlap * area,
    meanIntervals: balanced > 0 ? intervals / balanced : 0,
    unbalancedColumns: unbalanced,
    unknownMm3: sums.unknown * area,
    hitColumns: hit,
  };
}
