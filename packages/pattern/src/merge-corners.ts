/** Merges corners that share a cell of a grid into their mean: the quickest way to thin a very dense scan. */
import { forEachStretch, type Vec3 } from '@oddside/core';
import { findBounds } from './find-bounds.js';

/** Cells at most; a grid that would have more is made coarser. */
const MOST_CELLS = 2 ** 24;

/**
 * Merges corners until about so many triangles are left, and drops the triangles that lost their area. A closed surface stays
 * closed: every edge that goes takes its twin with it. Corners move by less than a cell's diagonal.
 *
 * @param triangles What is wanted; a surface crosses about one and a half cells, and each merged corner carries two triangles.
 * @returns The thinned mesh. Cost: two passes over the corners and two over the triangles.
 */
export function mergeCorners(
  mesh: { readonly positions: Float64Array; readonly triangles: Uint32Array },
  triangles: number,
): { positions: Float64Array; triangles: Uint32Array } {
  const { positions } = mesh;
  const { min, max } = findBounds(positions);
  const size = [0, 1, 2].map((k) => max[k] - min[k]);
  const least = Math.cbrt((size[0] * size[1] * size[2]) / MOST_CELLS);
  let area = 0;
  forEachStretch(mesh.triangles.length / 3, (from, to) => void (area += areaOf(positions, mesh.triangles, from, to)));
  const cell = Math.max(least, Math.sqrt((3 * area) / triangles), Number.MIN_VALUE);
  const [nx, ny] = size.map((across) => Math.floor(across / cell) + 1);
  const nz = Math.floor(size[2] / cell) + 1;
  const owner = new Int32Array(nx * ny * nz).fill(-1);
  const merged = new Uint32Array(positions.length / 3);
  const sums = new Float64Array(positions.length);
  const counts = new Uint32Array(positions.length / 3);
  let kept = 0;
  const corners = { owner, merged, counts, sums };
  forEachStretch(merged.length, (from, to) => {
    kept = mergePiece(positions, from, to, min, cell, nx, ny, corners, kept);
  });
  const means = new Float64Array(3 * kept);
  forEachStretch(kept, (from, to) => averagePiece(sums, counts, from, to, min, means));
  const left = new Uint32Array(mesh.triangles.length);
  let count = 0;
  forEachStretch(left.length / 3, (from, to) => {
    count = keepPiece(mesh.triangles, from, to, merged, left, count);
  });
  return { positions: means, triangles: left.slice(0, count) };
}

/** What is known of merged corners: which one is each cell's, which each corner has become, how many became one, and their sum. */
interface MergedCorners {
  readonly owner: Int32Array;
  readonly merged: Uint32Array;
  readonly counts: Uint32Array;
  readonly sums: Float64Array;
}

/** Merges some corners; returns how many there are by then, `kept` before. */
function mergePiece(
  positions: Float64Array,
  from: number,
  to: number,
  [minX, minY, minZ]: Vec3,
  cell: number,
  nx: number,
  ny: number,
  { owner, merged, counts, sums }: MergedCorners,
  kept: number,
): number {
  let next = kept;
  for (let i = from, p = 3 * from; i < to; i++, p += 3) {
    const x = positions[p] - minX;
    const y = positions[p + 1] - minY;
    const z = positions[p + 2] - minZ;
    const at = (Math.floor(z / cell) * ny + Math.floor(y / cell)) * nx + Math.floor(x / cell);
    if (owner[at] < 0) owner[at] = next++;
    const one = owner[at];
    merged[i] = one;
    counts[one]++;
    sums[3 * one] += x;
    sums[3 * one + 1] += y;
    sums[3 * one + 2] += z;
  }
  return next;
}

function averagePiece(
  sums: Float64Array,
  counts: Uint32Array,
  from: number,
  to: number,
  [minX, minY, minZ]: Vec3,
  means: Float64Array,
): void {
  for (let i = from, p = 3 * from; i < to; i++, p += 3) {
    means[p] = minX + sums[p] / counts[i];
    means[p + 1] = minY + sums[p + 1] / counts[i];
    means[p + 2] = minZ + sums[p + 2] / counts[i];
  }
}

/** Keeps the triangles of some whose corners are still three; returns how many numbers there are by then, `count` before. */
function keepPiece(
  triangles: Uint32Array,
  from: number,
  to: number,
  merged: Uint32Array,
  left: Uint32Array,
  count: number,
): number {
  let next = count;
  for (let t = 3 * from; t < 3 * to; t += 3) {
    const a = merged[triangles[t]];
    const b = merged[triangles[t + 1]];
    const c = merged[triangles[t + 2]];
    if (a === b || b === c || c === a) continue;
    left[next] = a;
    left[next + 1] = b;
    left[next + 2] = c;
    next += 3;
  }
  return next;
}

/** Area of some triangles, about: sums are not compensated. */
function areaOf(positions: Float64Array, triangles: Uint32Array, from: number, to: number): number {
  let twice = 0;
  for (let t = 3 * from; t < 3 * to; t += 3) {
    const a = 3 * triangles[t];
    const b = 3 * triangles[t + 1];
    const c = 3 * triangles[t + 2];
    const ex = positions[b] - positions[a];
    const ey = positions[b + 1] - positions[a + 1];
    const ez = positions[b + 2] - positions[a + 2];
    const fx = positions[c] - positions[a];
    const fy = positions[c + 1] - positions[a + 1];
    const fz = positions[c + 2] - positions[a + 2];
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    const nz = ex * fy - ey * fx;
    twice += Math.sqrt(nx * nx + ny * ny + nz * nz);
  }
  return twice / 2;
}
