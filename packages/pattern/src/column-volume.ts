/** Volume by columns: what a bundle of parallel lines says about the inside of a surface, sound or not. */
import type { Bounds } from '@oddside/core';
import { growingDoubles, growingInts } from './grow-array.js';

/** What the columns along one axis of the file found, mm³. */
export interface ColumnVolume {
  /** Where the surface is crossed an even number of times: length inside, counted off in pairs. */
  readonly byPairs: number;
  /** Box length, from first to last crossing or to the box, of columns crossed an odd number of times. */
  readonly unknown: number;
  /** Volume inside several layers of the surface at once, or inside out, counted as often as it is too much. */
  readonly overlap: number;
  /** Volume with any winding at all. */
  readonly anywhere: number;
  /** Share of the columns that meet the surface at all which meet it an odd number of times. */
  readonly oddShare: number;
}

/**
 * Casts `n` × `n` columns along an axis. Edges shared by two triangles are decided the same way for both, so a closed
 * mesh never loses or doubles a crossing.
 *
 * Cost: one pass over the triangles plus n² columns; about 60 ms for 870,000 triangles and 256² columns.
 */
export function columnVolume(
  positions: Float64Array,
  triangles: Uint32Array,
  bounds: Bounds,
  axis: 0 | 1 | 2,
  n: number,
): ColumnVolume {
  const u = (axis + 1) % 3;
  const v = (axis + 2) % 3;
  const { min, max } = bounds;
  const du = (max[u] - min[u]) / n || 1;
  const dv = (max[v] - min[v]) / n || 1;
  const hits = castColumns(positions, triangles, [u, v, axis], [min[u], min[v]], [du, dv], n);
  return sumColumns(hits, n, du * dv, min[axis], max[axis]);
}

interface Hits {
  readonly column: Int32Array;
  /** Height of each crossing. */
  readonly height: Float64Array;
  /** +1 where the line, going up, enters; -1 where it leaves. */
  readonly sign: Int32Array;
  readonly count: number;
}

function castColumns(
  positions: Float64Array,
  triangles: Uint32Array,
  [u, v, w]: readonly [number, number, number],
  [u0, v0]: readonly [number, number],
  [du, dv]: readonly [number, number],
  n: number,
): Hits {
  const columns = growingInts(n * n * 2);
  const heights = growingDoubles(n * n * 2);
  const signs = growingInts(n * n * 2);
  // Columns stand a little off the middle of their cells: meshes of boxes and grids have edges at the middle.
  const offU = 0.5 + 0.0137;
  const offV = 0.5 - 0.0211;
  for (let i = 0; i < triangles.length; i += 3) {
    const ia = triangles[i];
    const ib = triangles[i + 1];
    const ic = triangles[i + 2];
    const ax = (positions[ia * 3 + u] - u0) / du - offU;
    const ay = (positions[ia * 3 + v] - v0) / dv - offV;
    const bx = (positions[ib * 3 + u] - u0) / du - offU;
    const by = (positions[ib * 3 + v] - v0) / dv - offV;
    const cx = (positions[ic * 3 + u] - u0) / du - offU;
    const cy = (positions[ic * 3 + v] - v0) / dv - offV;
    const x0 = Math.max(0, Math.ceil(Math.min(ax, bx, cx)));
    const x1 = Math.min(n - 1, Math.floor(Math.max(ax, bx, cx)));
    const y0 = Math.max(0, Math.ceil(Math.min(ay, by, cy)));
    const y1 = Math.min(n - 1, Math.floor(Math.max(ay, by, cy)));
    if (x0 > x1 || y0 > y1) continue;
    const area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    if (area === 0) continue;
    const az = positions[ia * 3 + w];
    const bz = positions[ib * 3 + w];
    const cz = positions[ic * 3 + w];
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        const left = isLeft(ia, ib, ax, ay, bx, by, x, y);
        if (isLeft(ib, ic, bx, by, cx, cy, x, y) !== left || isLeft(ic, ia, cx, cy, ax, ay, x, y) !== left) continue;
        const beta = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / area;
        const gamma = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / area;
        columns.push(y * n + x);
        heights.push(az + beta * (bz - az) + gamma * (cz - az));
        signs.push(left ? -1 : 1);
      }
    }
  }
  return { column: columns.data, height: heights.data, sign: signs.data, count: columns.length };
}

/** Whether a column is to the left of the edge from `a` to `b`; always worked out from the lower corner number. */
function isLeft(a: number, b: number, ax: number, ay: number, bx: number, by: number, x: number, y: number): boolean {
  return a < b ? (bx - ax) * (y - ay) - (by - ay) * (x - ax) >= 0 : (ax - bx) * (y - by) - (ay - by) * (x - bx) < 0;
}

function sumColumns(hits: Hits, n: number, cell: number, low: number, high: number): ColumnVolume {
  const starts = new Uint32Array(n * n + 1);
  for (let i = 0; i < hits.count; i++) starts[hits.column[i] + 1]++;
  for (let i = 0; i < n * n; i++) starts[i + 1] += starts[i];
  const fill = starts.slice(0, n * n);
  const order = new Uint32Array(hits.count);
  for (let i = 0; i < hits.count; i++) order[fill[hits.column[i]]++] = i;
  let byPairs = 0;
  let unknown = 0;
  let overlap = 0;
  let anywhere = 0;
  let odd = 0;
  let met = 0;
  for (let column = 0; column < n * n; column++) {
    const from = starts[column];
    const to = starts[column + 1];
    if (from === to) continue;
    met++;
    const crossings = order
      .subarray(from, to)
      .sort((a, b) => hits.height[a] - hits.height[b] || hits.sign[b] - hits.sign[a]);
    if ((to - from) % 2 === 1) {
      odd++;
      unknown += high - low;
      continue;
    }
    let winding = 0;
    for (let i = 0; i + 1 < crossings.length; i++) {
      const length = hits.height[crossings[i + 1]] - hits.height[crossings[i]];
      winding += hits.sign[crossings[i]];
      if (i % 2 === 0) byPairs += length;
      if (winding !== 0) anywhere += length;
      overlap += length * Math.abs(winding - (winding === 0 ? 0 : 1));
    }
  }
  return {
    byPairs: byPairs * cell,
    unknown: unknown * cell,
    overlap: overlap * cell,
    anywhere: anywhere * cell,
    oddShare: met > 0 ? odd / met : 0,
  };
}
