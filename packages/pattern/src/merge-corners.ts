/** Merges corners that share a cell of a grid into their mean: the quickest way to thin a very dense scan. */
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
  const area = areaOf(positions, mesh.triangles);
  const cell = Math.max(least, Math.sqrt((3 * area) / triangles), Number.MIN_VALUE);
  const [nx, ny] = size.map((across) => Math.floor(across / cell) + 1);
  const nz = Math.floor(size[2] / cell) + 1;
  const owner = new Int32Array(nx * ny * nz).fill(-1);
  const merged = new Uint32Array(positions.length / 3);
  const sums = new Float64Array(positions.length);
  const counts = new Uint32Array(positions.length / 3);
  const [minX, minY, minZ] = min;
  let kept = 0;
  for (let i = 0, p = 0; i < merged.length; i++, p += 3) {
    const x = positions[p] - minX;
    const y = positions[p + 1] - minY;
    const z = positions[p + 2] - minZ;
    const at = (Math.floor(z / cell) * ny + Math.floor(y / cell)) * nx + Math.floor(x / cell);
    if (owner[at] < 0) owner[at] = kept++;
    const one = owner[at];
    merged[i] = one;
    counts[one]++;
    sums[3 * one] += x;
    sums[3 * one + 1] += y;
    sums[3 * one + 2] += z;
  }
  const means = new Float64Array(3 * kept);
  for (let i = 0, p = 0; i < kept; i++, p += 3) {
    means[p] = minX + sums[p] / counts[i];
    means[p + 1] = minY + sums[p + 1] / counts[i];
    means[p + 2] = minZ + sums[p + 2] / counts[i];
  }
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

/** Area of a surface, about: sums are not compensated. */
function areaOf(positions: Float64Array, triangles: Uint32Array): number {
  let twice = 0;
  for (let t = 0; t < triangles.length; t += 3) {
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
