/** A body drawn along a straight way: everything it passes through, as one exact solid. */
import type { Vec3 } from '@oddside/core';
import { bodyOfArrays, meshOfBody } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { framedMeshOf } from './solid-mesh.js';
import { sortFaces } from './sort-faces.js';
import { thickenFaces } from './sweep-faces.js';

/** Up the draw, and down it. */
export const UP: Vec3 = Object.freeze([0, 0, 1]) as unknown as Vec3;
export const DOWN: Vec3 = Object.freeze([0, 0, -1]) as unknown as Vec3;

/**
 * What a body passes through when it moves straight by a distance: the body, the faces that look ahead drawn out along the
 * way, and the body at the end. Exact but for the rounding of coordinates turned into the way's own frame and back.
 *
 * @param way Unit vector in the frame: across the draw, or {@link UP}, or {@link DOWN}.
 */
export function sweepBody(scope: Scope, body: Body, way: Vec3, distance: number): Body {
  const ahead = drawAhead(scope, body, way, distance);
  const end = scope.move(body, [way[0] * distance, way[1] * distance, way[2] * distance]);
  const all = scope.unite(ahead ? [body, ahead, end] : [body, end]);
  scope.free(ahead);
  scope.free(end);
  return all;
}

/** Only the faces of a body that look ahead, drawn out along the way; `null` where none do. */
export function drawAhead(scope: Scope, body: Body, way: Vec3, distance: number): Body | null {
  const axes = axesOf(way);
  const mesh = turnedInto(framedMeshOf(body), axes);
  const ahead = thickenFaces(scope, mesh, sortFaces(mesh).up, distance);
  if (!ahead) return null;
  const { points, triangles } = meshOfBody(ahead);
  scope.free(ahead);
  return bodyOfArrays(scope, turnedBack(points, axes), triangles, 'A solid on its way');
}

type Axes = readonly [Vec3, Vec3, Vec3];

/** Three axes, right-handed, of which the third is the way. */
function axesOf([x, y, z]: Vec3): Axes {
  if (z !== 0) {
    return [
      [1, 0, 0],
      [0, z, 0],
      [0, 0, z],
    ];
  }
  return [
    [-y, x, 0],
    [0, 0, 1],
    [x, y, 0],
  ];
}

function turnedInto({ points, triangles, rounding }: FramedMesh, axes: Axes): FramedMesh {
  const out = new Float32Array(points.length);
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i += 3) {
    for (let k = 0; k < 3; k++) {
      const [ax, ay, az] = axes[k];
      out[i + k] = points[i] * ax + points[i + 1] * ay + points[i + 2] * az;
      min[k] = Math.min(min[k], out[i + k]);
      max[k] = Math.max(max[k], out[i + k]);
    }
  }
  return { points: out, triangles, box: { min, max }, rounding };
}

function turnedBack(points: Float32Array, [a, b, c]: Axes): Float32Array {
  const out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i += 3) {
    for (let k = 0; k < 3; k++) out[i + k] = points[i] * a[k] + points[i + 1] * b[k] + points[i + 2] * c[k];
  }
  return out;
}
