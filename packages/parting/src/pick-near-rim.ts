/** The few triangles of a pattern that lie near the edge of its shadow. */
import type { CastEngine } from './cast-engine.js';
import type { ColumnField } from './column-field.js';
import { longer } from './grow-array.js';
import type { RimIndex } from './index-rim.js';
import { CornerPlacer } from './place-corners.js';
import type { Pattern } from '@oddside/pattern';

/** Numbers of a placed triangle: x y z of its three corners. */
export const PLACED_TRIANGLE = 9;

/**
 * Picks, in their order, the triangles whose boxes cross a line of the grid within a column of an edge between a column that
 * is hit and one that is not, and few more: no other can say where the rim is. One pass here instead of two there: on a scan
 * most triangles are far from the rim.
 *
 * @param engine What cast the field, if it still holds it: it knows already where the corners lie.
 * @returns Their corners, placed on the grid: {@link PLACED_TRIANGLE} numbers a triangle.
 */
export function pickNearRim(
  { positions, triangles }: Pattern,
  field: ColumnField,
  rim: RimIndex,
  engine?: CastEngine,
): Float64Array {
  const { nu, nv } = field;
  const placer = new CornerPlacer(field);
  const alongU = countEdges(rim.alongU, nu + 1, nv);
  const alongV = countEdges(rim.alongV, nu, nv + 1);
  const picked =
    engine?.pickNear?.(field, alongU, alongV) ??
    pickPlainly(triangles, cellWords(positions, placer), alongU, alongV, nu, nv);
  return placer.placeTriangles(positions, triangles, picked);
}

/** Picks triangles by the cells of their corners; the kernel of the cast does the same. */
function pickPlainly(
  triangles: Uint32Array,
  cells: Uint32Array,
  alongU: Int32Array,
  alongV: Int32Array,
  nu: number,
  nv: number,
): Uint32Array {
  let picked = new Uint32Array(4096);
  let count = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = cells[triangles[t]];
    const b = cells[triangles[t + 1]];
    const c = cells[triangles[t + 2]];
    const low = Math.min(a >>> 16, b >>> 16, c >>> 16) - 1;
    const high = Math.max(a >>> 16, b >>> 16, c >>> 16) - 1;
    const left = Math.min(a & 0xffff, b & 0xffff, c & 0xffff) - 1;
    const right = Math.max(a & 0xffff, b & 0xffff, c & 0xffff) - 1;
    // Of an edge the lower end is in the cell before it; a column on either side is looked at as well.
    if (
      (low < high && hasEdge(alongU, nu + 1, nv, left - 1, right + 3, low, high)) ||
      (left < right && hasEdge(alongV, nu, nv + 1, left, right, low - 1, high + 3))
    ) {
      if (count === picked.length) picked = longer(picked);
      picked[count++] = t / 3;
    }
  }
  return picked.subarray(0, count);
}

/** Corners placed at a time: few enough to stay in the nearest cache. */
const AT_ONCE = 256;

/** Each corner's row and column, rounded up, plus 1, in one word: little to fetch, and whole numbers to compare. */
function cellWords(positions: Float64Array, placer: CornerPlacer): Uint32Array {
  const cells = new Uint32Array(positions.length / 3);
  const placed = new Float64Array(3 * AT_ONCE);
  for (let from = 0; from < cells.length; from += AT_ONCE) {
    const count = Math.min(AT_ONCE, cells.length - from);
    placer.place(positions, 3 * from, placed, 0, count);
    for (let k = 0; k < count; k++) {
      cells[from + k] = ((Math.ceil(placed[3 * k + 1]) + 1) << 16) | (Math.ceil(placed[3 * k]) + 1);
    }
  }
  return cells;
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
