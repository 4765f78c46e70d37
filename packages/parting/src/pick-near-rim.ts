/** The few triangles of a pattern that lie near the edge of its shadow. */
import type { ColumnField } from './column-field.js';
import type { RimIndex } from './gather-rim-spans.js';

/** Triangles wider than this many columns are looked at closely at once. */
const WIDEST = 2;

/**
 * Picks, in their order, the triangles whose boxes cross a line of the grid within a column of an edge between a column that
 * is hit and one that is not: no other can say where the rim is. One pass here instead of two there: on a scan most
 * triangles are far from the rim.
 *
 * @param placed Corners in columns and heights, x y z each.
 */
export function pickNearRim(
  triangles: Uint32Array,
  placed: Float64Array,
  field: ColumnField,
  rim: RimIndex,
): Uint32Array {
  const { nu, nv } = field;
  const near = maskNear(field, rim);
  const alongU = countEdges(rim.alongU, nu + 1, nv);
  const alongV = countEdges(rim.alongV, nu, nv + 1);
  const picked = new Uint32Array(triangles.length);
  let count = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const xa = placed[a];
    const xb = placed[b];
    const xc = placed[c];
    const ya = placed[a + 1];
    const yb = placed[b + 1];
    const yc = placed[c + 1];
    const left = Math.min(xa, xb, xc);
    const low = Math.min(ya, yb, yc);
    const right = Math.max(xa, xb, xc);
    const high = Math.max(ya, yb, yc);
    // Places are never below −1, so truncation after adding 1 rounds down.
    const cell = ((low + 1) | 0) * (nu + 2) + ((left + 1) | 0);
    if (right - left <= WIDEST && high - low <= WIDEST && near[cell] === 0) continue;
    // The rows it crosses, from a column before it to one past it; then the files.
    const x = Math.floor(left);
    const y = Math.floor(low);
    if (
      !hasEdge(alongU, nu + 1, nv, x, Math.floor(right) + 3, Math.ceil(low), Math.ceil(high)) &&
      !hasEdge(alongV, nu, nv + 1, Math.ceil(left), Math.ceil(right), y, Math.floor(high) + 3)
    ) {
      continue;
    }
    picked[count] = triangles[t];
    picked[count + 1] = triangles[t + 1];
    picked[count + 2] = triangles[t + 2];
    count += 3;
  }
  return picked.subarray(0, count);
}

/**
 * 1 for the columns in which a triangle that is not too wide may have its low left corner, if it is to cross the line of a
 * numbered edge no more than a column from it; column (x, y) at `(y + 1) * (nu + 2) + x + 1`.
 */
function maskNear({ nu, nv }: ColumnField, rim: RimIndex): Uint8Array {
  const width = nu + 2;
  const height = nv + 2;
  const mask = new Uint8Array(width * height);
  const mark = (left: number, right: number, low: number, high: number): void => {
    const from = Math.max(0, left + 1);
    const to = Math.min(width - 1, right + 1);
    for (let row = Math.max(0, low + 1); row <= Math.min(height - 1, high + 1); row++) {
      mask.fill(1, row * width + from, row * width + to + 1);
    }
  };
  for (let y = 0; y < nv; y++) {
    for (let x = -1; x < nu; x++) {
      if (rim.alongU[y * (nu + 1) + x + 1] >= 0) mark(x - 1 - WIDEST, x + 1, y - WIDEST, y);
    }
  }
  for (let y = -1; y < nv; y++) {
    for (let x = 0; x < nu; x++) {
      if (rim.alongV[(y + 1) * nu + x] >= 0) mark(x - WIDEST, x, y - 1 - WIDEST, y + 1);
    }
  }
  return mask;
}

/** How many numbered edges lie before column `c` and row `r` of a table: at `r * (columns + 1) + c`. */
function countEdges(index: Int32Array, columns: number, rows: number): Int32Array {
  const stride = columns + 1;
  const before = new Int32Array(stride * (rows + 1));
  for (let r = 0; r < rows; r++) {
    let inRow = 0;
    for (let c = 0; c < columns; c++) {
      if (index[r * columns + c] >= 0) inRow++;
      before[(r + 1) * stride + c + 1] = before[r * stride + c + 1] + inRow;
    }
  }
  return before;
}

/** Whether a numbered edge lies in columns from `left` up to but not `right`, and rows likewise; off the table there is none. */
function hasEdge(
  before: Int32Array,
  columns: number,
  rows: number,
  left: number,
  right: number,
  low: number,
  high: number,
): boolean {
  const stride = columns + 1;
  const from = (left > 0 ? left : 0) | 0;
  const to = (right < columns ? right : columns) | 0;
  const first = ((low > 0 ? low : 0) | 0) * stride;
  const last = ((high < rows ? high : rows) | 0) * stride;
  if (to <= from || last <= first) return false;
  return before[last + to] - before[last + from] !== before[first + to] - before[first + from];
}
