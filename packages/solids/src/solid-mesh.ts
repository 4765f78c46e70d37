/** A body of the kernel looked at again as a mesh in the frame, so that its own faces can be sorted and swept. */
import { meshOfBody } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import type { Body } from './kernel.js';

/** The mesh of a body. Its rounding is that of its own size. */
export function framedMeshOf(body: Body): FramedMesh {
  const { points, triangles } = meshOfBody(body);
  const { min, max } = body.boundingBox();
  const size = Math.max(...[0, 1, 2].map((k) => Math.max(Math.abs(min[k]), Math.abs(max[k]))));
  return { points, triangles, box: { min, max }, rounding: size * 2 ** -24 };
}

/** Least and greatest of a body along a direction of the frame, mm. */
export function reachAlong(body: Body, [x, y, z]: readonly [number, number, number]): readonly [number, number] {
  const { points } = meshOfBody(body);
  let [low, high] = [Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 3) {
    const at = points[i] * x + points[i + 1] * y + points[i + 2] * z;
    if (at < low) low = at;
    if (at > high) high = at;
  }
  return [low, high];
}
