/** Merges corners that share a cell of a grid into their mean: the quickest way to thin a very dense scan. */
import { findBounds } from './find-bounds.js';
import { integrateSurface } from './integrate-surface.js';

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
  const { area } = integrateSurface(positions, mesh.triangles, min);
  const cell = Math.max(least, Math.sqrt((3 * area) / triangles), Number.MIN_VALUE);
  const [nx, ny] = size.map((across) => Math.floor(across / cell) + 1);
  const nz = Math.floor(size[2] / cell) + 1;
  const owner = new Int32Array(nx * ny * nz).fill(-1);
  const merged = new Uint32Array(positions.length / 3);
  const sums: Float64Array = new Float64Array(positions.length);
  const counts = new Uint32Array(positions.length / 3);
  let kept = 0;
  for (let i = 0; i < merged.length; i++) {
    const x = Math.floor((positions[3 * i] - min[0]) / cell);
    const y = Math.floor((positions[3 * i + 1] - min[1]) / cell);
    const z = Math.floor((positions[3 * i + 2] - min[2]) / cell);
    const at = (z * ny + y) * nx + x;
    if (owner[at] < 0) owner[at] = kept++;
    const one = owner[at];
    merged[i] = one;
    counts[one]++;
    for (let k = 0; k < 3; k++) sums[3 * one + k] += positions[3 * i + k] - min[k];
  }
  const means = new Float64Array(3 * kept);
  for (let i = 0; i < means.length; i++) means[i] = min[i % 3] + sums[i] / counts[Math.floor(i / 3)];
  const left = new Uint32Array(mesh.triangles.length);
  let count = 0;
  for (let t = 0; t < left.length; t += 3) {
    const a = merged[mesh.triangles[t]];
    const b = merged[mesh.triangles[t + 1]];
    const c = merged[mesh.triangles[t + 2]];
    if (a === b || b === c || c === a) continue;
    left[count] = a;
    left[count + 1] = b;
    left[count + 2] = c;
    count += 3;
  }
  return { positions: means, triangles: left.slice(0, count) };
}
