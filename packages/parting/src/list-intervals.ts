/** Every stretch of metal in every column: what the column field only counts, listed. */
import { drainSteps, type Steps } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { ColumnField } from './column-field.js';
import { placeCorners } from './place-corners.js';

/** Stretches of metal column by column, lowest first; heights in mm along the draw from the field's origin. */
export interface ColumnIntervals {
  /** Column `c` has the stretches `starts[c]` up to, not including, `starts[c + 1]`. */
  readonly starts: Uint32Array;
  readonly lows: Float64Array;
  readonly highs: Float64Array;
}

/**
 * Lists the stretches of metal in a field's columns. Shells that overlap are united, touching ones joined; columns through
 * a hole of the surface list what can be told.
 *
 * Cost: one pass over the triangles and their columns, about 10 ns each, and a short sort per column.
 */
export function listIntervals(pattern: Pattern, field: ColumnField): ColumnIntervals {
  return drainSteps(intervalSteps(pattern, field));
}

/** {@link listIntervals} in pieces of a few ms. */
export function* intervalSteps(pattern: Pattern, field: ColumnField): Steps<ColumnIntervals> {
  const { nu, nv } = field;
  const { triangles } = pattern;
  const placed = placeCorners(pattern.positions, field);
  yield 0.1;
  const found = startCrossings(2 * nu * nv);
  for (let t = 0; t < triangles.length;) {
    t = crossColumns(triangles, t, placed, nu, nv, found);
    yield 0.1 + 0.7 * (t / triangles.length);
  }
  const counts = new Uint32Array(nu * nv + 1);
  for (let i = 0; i < found.count; i++) counts[found.columns[i] + 1]++;
  for (let c = 0; c < nu * nv; c++) counts[c + 1] += counts[c];
  const at = counts.slice(0, nu * nv);
  const heights = new Float64Array(found.count);
  const ways = new Int8Array(found.count);
  for (let i = 0; i < found.count; i++) {
    const k = at[found.columns[i]]++;
    heights[k] = found.heights[i];
    ways[k] = found.ways[i];
  }
  yield 0.9;
  return joinStretches(counts, heights, ways);
}

/** From the crossings of each column, `counts[c]` up to `counts[c + 1]`, to its stretches of metal. */
function joinStretches(counts: Uint32Array, heights: Float64Array, ways: Int8Array): ColumnIntervals {
  const starts = new Uint32Array(counts.length);
  const lows = new Float64Array(heights.length);
  const highs = new Float64Array(heights.length);
  let [begun, ended] = [0, 0];
  for (let c = 0; c + 1 < counts.length; c++) {
    sortByHeight(heights, ways, counts[c], counts[c + 1]);
    let depth = 0;
    for (let i = counts[c]; i < counts[c + 1]; i++) {
      const before = depth;
      depth += ways[i];
      if (before === 0 && depth > 0) {
        // Touching stretches are one.
        if (begun > starts[c] && highs[ended - 1] >= heights[i]) ended--;
        else lows[begun++] = heights[i];
      }
      if (before > 0 && depth <= 0) {
        highs[ended++] = heights[i];
        depth = 0;
      }
      if (before === 0 && depth < 0) depth = 0;
    }
    if (ended < begun) begun--;
    starts[c + 1] = begun;
  }
  return { starts, lows: lows.slice(0, begun), highs: highs.slice(0, ended) };
}

/** Crossings in the order in which they were found; arrays longer than their count. */
interface Crossings {
  columns: Int32Array;
  heights: Float64Array;
  /** +1 into metal, seen upwards, −1 out of it. */
  ways: Int8Array;
  count: number;
}

function startCrossings(room: number): Crossings {
  return { columns: new Int32Array(room), heights: new Float64Array(room), ways: new Int8Array(room), count: 0 };
}

function addCrossing(found: Crossings, column: number, height: number, way: number): void {
  if (found.count === found.columns.length) {
    const grown = startCrossings(2 * found.count);
    grown.columns.set(found.columns);
    grown.heights.set(found.heights);
    grown.ways.set(found.ways);
    found.columns = grown.columns;
    found.heights = grown.heights;
    found.ways = grown.ways;
  }
  found.columns[found.count] = column;
  found.heights[found.count] = height;
  found.ways[found.count++] = way;
}

/** Triangles and columns looked at between two yields: a few ms of work. */
const AT_A_TIME = 200_000;

/**
 * Notes every column axis that passes through a triangle, from the triangle whose corners begin at `from` on. Both
 * triangles of an edge decide on it alike.
 *
 * @returns Where to go on.
 */
function crossColumns(
  triangles: Uint32Array,
  from: number,
  placed: Float64Array,
  nu: number,
  nv: number,
  found: Crossings,
): number {
  let t = from;
  for (let work = 0; t < triangles.length && work < AT_A_TIME; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    work += 10;
    const firstX = Math.max(0, Math.ceil(Math.min(placed[a], placed[b], placed[c])));
    const lastX = Math.min(nu - 1, Math.floor(Math.max(placed[a], placed[b], placed[c])));
    if (lastX < firstX) continue;
    const firstY = Math.max(0, Math.ceil(Math.min(placed[a + 1], placed[b + 1], placed[c + 1])));
    const lastY = Math.min(nv - 1, Math.floor(Math.max(placed[a + 1], placed[b + 1], placed[c + 1])));
    if (lastY < firstY) continue;
    const area =
      (placed[b] - placed[a]) * (placed[c + 1] - placed[a + 1]) -
      (placed[c] - placed[a]) * (placed[b + 1] - placed[a + 1]);
    if (area === 0) continue;
    const way = area > 0 ? 1 : -1;
    work += (lastX - firstX + 1) * (lastY - firstY + 1);
    for (let y = firstY; y <= lastY; y++) {
      for (let x = firstX; x <= lastX; x++) {
        const ab = sideOf(placed, a, b, x, y);
        const bc = sideOf(placed, b, c, x, y);
        const ca = sideOf(placed, c, a, x, y);
        if ((ab >= 0 ? 1 : -1) * flip(a, b) !== way) continue;
        if ((bc >= 0 ? 1 : -1) * flip(b, c) !== way || (ca >= 0 ? 1 : -1) * flip(c, a) !== way) continue;
        const wa = bc * flip(b, c);
        const wb = ca * flip(c, a);
        const wc = ab * flip(a, b);
        const z = (wa * placed[a + 2] + wb * placed[b + 2] + wc * placed[c + 2]) / (wa + wb + wc);
        addCrossing(found, y * nu + x, z, -way);
      }
    }
  }
  return t;
}

const flip = (p: number, q: number): number => (p < q ? 1 : -1);

/** Which side of an edge a place is on, worked out from the edge's lower corner to its upper one. */
function sideOf(placed: Float64Array, from: number, to: number, x: number, y: number): number {
  const p = from < to ? from : to;
  const q = from < to ? to : from;
  return (placed[q] - placed[p]) * (y - placed[p + 1]) - (placed[q + 1] - placed[p + 1]) * (x - placed[p]);
}

/** Insertion sort of one column's few crossings; at equal heights metal begins before it ends. */
function sortByHeight(heights: Float64Array, ways: Int8Array, from: number, to: number): void {
  for (let i = from + 1; i < to; i++) {
    const height = heights[i];
    const way = ways[i];
    let j = i - 1;
    for (; j >= from && (heights[j] > height || (heights[j] === height && ways[j] < way)); j--) {
      heights[j + 1] = heights[j];
      ways[j + 1] = ways[j];
    }
    heights[j + 1] = height;
    ways[j + 1] = way;
  }
}
