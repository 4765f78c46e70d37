/** The rim of a shadow on its grid: the edges between a column that is hit and one that is not, numbered. */
import { CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** Numbers of the rim points on the edges between neighbouring columns; −1 where both or neither are hit. */
export interface RimIndex {
  /** Between (x, y) and (x + 1, y), x from −1: at `y * (nu + 1) + x + 1`. */
  readonly alongU: Int32Array;
  /** Between (x, y) and (x, y + 1), y from −1: at `(y + 1) * nu + x`. */
  readonly alongV: Int32Array;
  readonly count: number;
  readonly hits: HitMask;
}

/** Which columns meet the pattern, with a column of nothing all round: (x, y) is at `(y + 1) * width + x + 1`. */
export interface HitMask {
  readonly width: number;
  readonly marks: Uint8Array;
}

/** Numbers the edges between a column that is hit and one that is not, row by row. */
export function indexRim(field: ColumnField): RimIndex {
  const { nu, nv } = field;
  const hits = markHits(field);
  const { width, marks } = hits;
  const alongU = new Int32Array((nu + 1) * nv).fill(-1);
  const alongV = new Int32Array(nu * (nv + 1)).fill(-1);
  let count = 0;
  for (let y = 0, k = 0; y < nv; y++) {
    for (let at = (y + 1) * width, end = at + nu; at <= end; at++, k++) {
      if (marks[at] !== marks[at + 1]) alongU[k] = count++;
    }
  }
  for (let y = -1, k = 0; y < nv; y++) {
    for (let at = (y + 1) * width + 1, end = at + nu; at < end; at++, k++) {
      if (marks[at] !== marks[at + width]) alongV[k] = count++;
    }
  }
  return { alongU, alongV, count, hits };
}

function markHits({ nu, nv, cells }: ColumnField): HitMask {
  const width = nu + 2;
  const marks = new Uint8Array(width * (nv + 2));
  for (let y = 0, i = CELL_TOP; y < nv; y++) {
    for (let at = (y + 1) * width + 1, end = at + nu; at < end; at++, i += CELL_STRIDE) {
      if (cells[i] !== -Infinity) marks[at] = 1;
    }
  }
  return { width, marks };
}

/** Whether a column meets the pattern, for x and y from −1 to one past the last. */
export function isHit({ width, marks }: HitMask, x: number, y: number): boolean {
  return marks[(y + 1) * width + x + 1] === 1;
}
