/**
 * Which faces count as upright walls. A curved surface in flat faces leans by steps; where the true surface passes through
 * upright somewhere between a face and its neighbour, half the step is what the face's own lean may be off. On a scan the
 * same steps are the noise of its normals. So the limit is measured at every face, and no angle is fixed: a tapered wall
 * whose neighbours lean the same keeps its taper, however coarse its facets.
 */
import type { Vec3 } from '@oddside/core';
import { listEdges, type Pattern } from '@oddside/pattern';
import { faceNormal } from './face-normal.js';

/** Edges sharper than this are edges of the part, not steps of a curved surface: cosine of 30° (common practice, no source). */
const SMOOTH_COSINE = 0.8660254037844387;
/** Relative rounding of coordinates that went through a file with 32-bit numbers. */
const FILE_ROUNDING = 2 ** -24;

/** The lean of every face along a draw and the lean under which it counts as a wall. */
export interface WallSines {
  /** Outward unit normal · draw, one a triangle; 0 for a triangle without area. */
  readonly sines: Float64Array;
  /** Limit for |sine|, one a triangle. */
  readonly wallSines: Float64Array;
}

/**
 * Measures the limits.
 *
 * @param direction The draw, unit vector.
 * @returns One pair a triangle. Cost: one sort of the edges, about 0.2 µs a triangle.
 */
export function findWallSines(pattern: Pattern, direction: Vec3): WallSines {
  const { positions, triangles } = pattern;
  const count = triangles.length / 3;
  const normals = new Float64Array(count * 3);
  const sines = new Float64Array(count);
  const wallSines = new Float64Array(count);
  let far = 0;
  for (let i = 0; i < positions.length; i++) far = Math.max(far, Math.abs(positions[i]));
  const face = new Float64Array(4);
  for (let t = 0; t < count; t++) {
    const twice = faceNormal(positions, triangles, t, face);
    if (!(twice > 0)) continue;
    normals[3 * t] = face[0] / twice;
    normals[3 * t + 1] = face[1] / twice;
    normals[3 * t + 2] = face[2] / twice;
    sines[t] = (face[0] * direction[0] + face[1] * direction[1] + face[2] * direction[2]) / twice;
    const longest = Math.sqrt(face[3]);
    // Corners off by their rounding turn the face by that over its lowest altitude.
    wallSines[t] = Math.min(0.5, (2 * FILE_ROUNDING * far * longest) / twice);
  }
  const { halfEdges, starts, count: edges } = listEdges(triangles, positions.length / 3);
  for (let e = 0; e < edges; e++) {
    if (starts[e + 1] - starts[e] !== 2) continue;
    const s = (halfEdges[starts[e]] / 3) | 0;
    const t = (halfEdges[starts[e] + 1] / 3) | 0;
    const cosine =
      normals[3 * s] * normals[3 * t] +
      normals[3 * s + 1] * normals[3 * t + 1] +
      normals[3 * s + 2] * normals[3 * t + 2];
    if (cosine < SMOOTH_COSINE) continue;
    const half = Math.abs(sines[s] - sines[t]) / 2;
    // The file's rounding is on top: a facet exactly half a step off upright must not be decided by its last bit.
    const limit = half * (1 + 1e-9);
    if (limit > wallSines[s]) wallSines[s] = limit;
    if (limit > wallSines[t]) wallSines[t] = limit;
  }
  return { sines, wallSines };
}
