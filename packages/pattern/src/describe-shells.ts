/** What each shell is: its size, its volume, and what it lies inside. */
import type { Bounds, Vec3 } from '@oddside/core';
import { integrateSurface, type SurfaceIntegrals } from './integrate-surface.js';
import { NO_SHELL, type ShellLabels } from './label-shells.js';

/** One piece of the surface. */
export interface Shell {
  readonly triangles: number;
  readonly areaMm2: number;
  /** Enclosed volume with its sign: negative when the faces point inwards. Without meaning for an open shell. */
  readonly signedVolumeMm3: number;
  readonly bounds: Bounds;
  /** Of how many other shells it lies inside; odd for the skin of a void. */
  readonly depth: number;
  /** A corner of it, mm. */
  readonly where: Vec3;
  /** True when it is so small beside the whole that it is likely dirt of a scan. */
  readonly debris: boolean;
}

/** A shell whose box has a diagonal below this share of the whole's is taken for debris. Common practice, no source. */
export const DEBRIS_SHARE = 0.02;

/** Describes every shell. Cost: a few linear passes. */
export function describeShells(positions: Float64Array, triangles: Uint32Array, labels: ShellLabels): Shell[] {
  const { count, ofTriangle } = labels;
  const boxes = new Float64Array(count * 6);
  const sizes = new Uint32Array(count);
  const first = new Int32Array(count).fill(-1);
  for (let s = 0; s < count; s++) boxes.set([Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity], s * 6);
  for (let i = 0; i < triangles.length; i++) {
    const shell = ofTriangle[(i / 3) | 0];
    if (shell === NO_SHELL) continue;
    if (first[shell] < 0) first[shell] = (i / 3) | 0;
    if (i % 3 === 0) sizes[shell]++;
    for (let axis = 0; axis < 3; axis++) {
      const value = positions[triangles[i] * 3 + axis];
      if (value < boxes[shell * 6 + axis]) boxes[shell * 6 + axis] = value;
      if (value > boxes[shell * 6 + 3 + axis]) boxes[shell * 6 + 3 + axis] = value;
    }
  }
  const sums = integrateShells(positions, triangles, labels, boxes);
  const depths = count > 1 ? nestingDepths(positions, triangles, labels, boxes, first) : new Uint32Array(count);
  const diagonalOf = (s: number): number =>
    Math.hypot(
      boxes[s * 6 + 3] - boxes[s * 6],
      boxes[s * 6 + 4] - boxes[s * 6 + 1],
      boxes[s * 6 + 5] - boxes[s * 6 + 2],
    );
  let largest = 0;
  for (let s = 0; s < count; s++) largest = Math.max(largest, diagonalOf(s));
  return Array.from({ length: count }, (_, s) => {
    const corner = triangles[first[s] * 3] * 3;
    return {
      triangles: sizes[s],
      areaMm2: sums[s].area,
      signedVolumeMm3: sums[s].volume,
      bounds: {
        min: [boxes[s * 6], boxes[s * 6 + 1], boxes[s * 6 + 2]],
        max: [boxes[s * 6 + 3], boxes[s * 6 + 4], boxes[s * 6 + 5]],
      },
      depth: depths[s],
      where: [positions[corner], positions[corner + 1], positions[corner + 2]],
      debris: diagonalOf(s) < DEBRIS_SHARE * largest,
    };
  });
}

/** Integrals of each shell about the middle of its own box. Shells are gathered first, so that this stays linear. */
function integrateShells(
  positions: Float64Array,
  triangles: Uint32Array,
  { count, ofTriangle }: ShellLabels,
  boxes: Float64Array,
): SurfaceIntegrals[] {
  const starts = new Uint32Array(count + 1);
  for (const shell of ofTriangle) if (shell !== NO_SHELL) starts[shell + 1]++;
  for (let s = 0; s < count; s++) starts[s + 1] += starts[s];
  const fill = starts.slice(0, count);
  const sorted = new Uint32Array(starts[count] * 3);
  for (let t = 0; t < ofTriangle.length; t++) {
    if (ofTriangle[t] === NO_SHELL) continue;
    const slot = fill[ofTriangle[t]]++ * 3;
    sorted[slot] = triangles[t * 3];
    sorted[slot + 1] = triangles[t * 3 + 1];
    sorted[slot + 2] = triangles[t * 3 + 2];
  }
  return Array.from({ length: count }, (_, s) => {
    const b = s * 6;
    const middle: Vec3 = [
      (boxes[b] + boxes[b + 3]) / 2,
      (boxes[b + 1] + boxes[b + 4]) / 2,
      (boxes[b + 2] + boxes[b + 5]) / 2,
    ];
    return integrateSurface(positions, sorted.subarray(starts[s] * 3, starts[s + 1] * 3), middle);
  });
}

/**
 * How many other shells each shell lies inside. From a point of each shell a line goes up; every triangle of another
 * shell above the point counts with the sign of its facing, and a shell whose sum is not zero holds the point. Points are
 * sorted by x, so that each triangle only meets those under it.
 */
function nestingDepths(
  positions: Float64Array,
  triangles: Uint32Array,
  { count, ofTriangle }: ShellLabels,
  boxes: Float64Array,
  first: Int32Array,
): Uint32Array {
  const points = new Float64Array(count * 3);
  for (let s = 0; s < count; s++) {
    // A point inside a triangle, not at its middle: symmetric meshes line up their edges with middles.
    for (let axis = 0; axis < 3; axis++) {
      points[s * 3 + axis] =
        0.5123 * positions[triangles[first[s] * 3] * 3 + axis] +
        0.2811 * positions[triangles[first[s] * 3 + 1] * 3 + axis] +
        0.2066 * positions[triangles[first[s] * 3 + 2] * 3 + axis];
    }
  }
  const byX = Uint32Array.from({ length: count }, (_, s) => s).sort((s, t) => points[s * 3] - points[t * 3]);
  const xs = Float64Array.from(byX, (s) => points[s * 3]);
  const winding = new Map<number, number>();
  for (let t = 0; t < ofTriangle.length; t++) {
    const shell = ofTriangle[t];
    if (shell === NO_SHELL) continue;
    const a = triangles[t * 3] * 3;
    const b = triangles[t * 3 + 1] * 3;
    const c = triangles[t * 3 + 2] * 3;
    const x0 = Math.min(positions[a], positions[b], positions[c]);
    const x1 = Math.max(positions[a], positions[b], positions[c]);
    for (let i = lowerBound(xs, x0); i < count && xs[i] <= x1; i++) {
      const other = byX[i];
      if (other === shell || !insideBox(points, other * 3, boxes, shell * 6)) continue;
      const sign = signAbove(positions, a, b, c, points, other * 3);
      if (sign !== 0) winding.set(shell * count + other, (winding.get(shell * count + other) ?? 0) + sign);
    }
  }
  const depths = new Uint32Array(count);
  for (const [key, sum] of winding) if (sum !== 0) depths[key % count]++;
  return depths;
}

function lowerBound(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

function insideBox(points: Float64Array, p: number, boxes: Float64Array, b: number): boolean {
  for (let axis = 0; axis < 3; axis++) {
    if (points[p + axis] < boxes[b + axis] || points[p + axis] > boxes[b + 3 + axis]) return false;
  }
  return true;
}

/** +1 or -1 when the triangle lies above the point and faces up or down there; 0 otherwise. */
function signAbove(positions: Float64Array, a: number, b: number, c: number, points: Float64Array, p: number): number {
  const x = points[p];
  const y = points[p + 1];
  const ab = leftOf(positions, a, b, x, y);
  const bc = leftOf(positions, b, c, x, y);
  if (ab !== bc) return 0;
  if (leftOf(positions, c, a, x, y) !== ab) return 0;
  const ux = positions[b] - positions[a];
  const uy = positions[b + 1] - positions[a + 1];
  const uz = positions[b + 2] - positions[a + 2];
  const vx = positions[c] - positions[a];
  const vy = positions[c + 1] - positions[a + 1];
  const vz = positions[c + 2] - positions[a + 2];
  const nz = ux * vy - uy * vx;
  if (nz === 0) return 0;
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const z = positions[a + 2] - (nx * (x - positions[a]) + ny * (y - positions[a + 1])) / nz;
  return z > points[p + 2] ? (nz > 0 ? 1 : -1) : 0;
}

/** Which side of a shared edge a point is on, the same for both triangles at it: the edge is always taken low to high. */
function leftOf(positions: Float64Array, a: number, b: number, x: number, y: number): boolean {
  const low = a < b ? a : b;
  const high = a < b ? b : a;
  const ux = positions[high] - positions[low];
  const uy = positions[high + 1] - positions[low + 1];
  const left = ux * (y - positions[low + 1]) - uy * (x - positions[low]) >= 0;
  return left === a < b;
}
