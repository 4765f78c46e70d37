/** Each face of a pattern as a draw sees it. */
import type { Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { faceNormal } from './face-normal.js';

/** Figures of every face, in the order of the triangles. */
export interface Faces {
  /** Unit normals and middles, n×3, in the pattern's coordinates; zero normals for faces without area. */
  readonly normals: Float64Array;
  readonly middles: Float64Array;
  readonly areas: Float64Array;
  /** Sine of the angle between the face and the draw, signed: positive faces look along the draw. */
  readonly sines: Float64Array;
  /** Highest and lowest corner along the draw, mm from the file's origin. */
  readonly tops: Float64Array;
  readonly bottoms: Float64Array;
}

/** Measures all faces along a draw of unit length. Cost: one pass; memory 80 bytes a triangle. */
export function measureFaces({ positions, triangles }: Pattern, [dx, dy, dz]: Vec3): Faces {
  const count = triangles.length / 3;
  const normals = new Float64Array(3 * count);
  const middles = new Float64Array(3 * count);
  const [areas, sines, tops, bottoms] = [0, 0, 0, 0].map(() => new Float64Array(count));
  const work = new Float64Array(4);
  for (let face = 0; face < count; face++) {
    const a = triangles[3 * face] * 3;
    const b = triangles[3 * face + 1] * 3;
    const c = triangles[3 * face + 2] * 3;
    const twice = faceNormal(positions, triangles, face, work);
    const [nx, ny, nz] = [work[0], work[1], work[2]];
    const over = twice > 0 ? 1 / twice : 0;
    normals[3 * face] = nx * over;
    normals[3 * face + 1] = ny * over;
    normals[3 * face + 2] = nz * over;
    for (let k = 0; k < 3; k++) middles[3 * face + k] = (positions[a + k] + positions[b + k] + positions[c + k]) / 3;
    areas[face] = twice / 2;
    sines[face] = Math.max(-1, Math.min(1, (nx * dx + ny * dy + nz * dz) * over));
    const za = positions[a] * dx + positions[a + 1] * dy + positions[a + 2] * dz;
    const zb = positions[b] * dx + positions[b + 1] * dy + positions[b + 2] * dz;
    const zc = positions[c] * dx + positions[c + 1] * dy + positions[c + 2] * dz;
    tops[face] = Math.max(za, zb, zc);
    bottoms[face] = Math.min(za, zb, zc);
  }
  return { normals, middles, areas, sines, tops, bottoms };
}
