/** The rim of a shadow on its grid: the edges between a column that is hit and one that is not, numbered. */
import { CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** Numbers of the rim points on the edges between neighbouring columns; −1 where both or neither are hit. */
export interface RimIndex {
  /** Between (x, y) and (x + 1, y), x from −1: at `y * (nu + 1) + x + 1`. */
  readonly alongU: Int32Array;
  /** Between (x, y) and (x, y + 1), y from −1: at `(y + 1) * nu + x`. */
  readonly alongV: Int32Array;
  readonly count: number;
}

/** Numbers the edges between a column that is hit and one that is not, row by row. */
export function indexRim(field: ColumnField): RimIndex {
  const { nu, nv } = field;
  const alongU = new Int32Array((nu + 1) * nv).fill(-1);
  const alongV = new Int32Array(nu * (nv + 1)).fill(-1);
  let count = 0;
  for (let y = 0; y < nv; y++) {
    for (let x = -1; x < nu; x++) {
      if (isHit(field, x, y) !== isHit(field, x + 1, y)) alongU[y * (nu + 1) + x + 1] = count++;
    }
  }
  for (let y = -1; y < nv; y++) {
    for (let x = 0; x < nu; x++) {
      if (isHit(field, x, y) !== isHit(field, x, y + 1)) alongV[(y + 1) * nu + x] = count++;
    }
  }
  return { alongU, alongV, count };
}

/** True where a column meets the pattern; off the grid nothing does. */
export function isHit(field: ColumnField, x: number, y: number): boolean {
  if (x < 0 || y < 0 || x >= field.nu || y >= field.nv) return false;
  return field.cells[(y * field.nu + x) * CELL_STRIDE + CELL_TOP] !== -Infinity;
}
