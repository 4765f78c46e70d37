/**
 * A frame in which the draw is z. All solid work is done in it: "above" is a comparison of one coordinate, a wall along the
 * draw has the same x and y at both ends to the last bit, and coordinates are small because they are counted from the
 * middle of the pattern, which is what the kernel's 32-bit input keeps exactly seven digits of.
 */
import { dot, frameAcross, unitVector, type Bounds, type Vec3 } from '@oddside/core';
import { boxCentre } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

export interface DrawFrame {
  /** The cope's draw and the two directions across it; `u × v = d`. Along the file's axes where the draw is one. */
  readonly d: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  /** The middle of the pattern's box, mm: the frame's zero. */
  readonly origin: Vec3;
  /** Height of the frame's zero, mm along the draw from the file's origin: file height = z + base. */
  readonly base: number;
}

/** The frame of a pattern along a draw. @throws OddsideError `bad-direction`. */
export function makeFrame(pattern: Pattern, direction: Vec3): DrawFrame {
  const d = unitVector(direction);
  const { u, v } = frameAcross(d);
  const origin = boxCentre(pattern.positions);
  return { d, u, v, origin, base: dot(origin, d) };
}

/** A pattern's triangles in a frame, rounded as the kernel rounds them, so that both judge the same shape. */
export interface FramedMesh {
  /** n×3, x y z in the frame, mm. */
  readonly points: Float32Array;
  /** m×3. */
  readonly triangles: Uint32Array;
  readonly box: Bounds;
  /** Largest distance by which rounding moved a coordinate, mm. */
  readonly rounding: number;
}

/** A pattern's mesh in a frame. */
export function frameMesh(frame: DrawFrame, pattern: Pattern): FramedMesh {
  const { positions, triangles } = pattern;
  const [ox, oy, oz] = frame.origin;
  const axes = [frame.u, frame.v, frame.d];
  const points = new Float32Array(positions.length);
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let k = 0; k < 3; k++) {
    const [ax, ay, az] = axes[k];
    for (let i = 0; i < positions.length; i += 3) {
      points[i + k] = (positions[i] - ox) * ax + (positions[i + 1] - oy) * ay + (positions[i + 2] - oz) * az;
      const value = points[i + k];
      if (value < min[k]) min[k] = value;
      if (value > max[k]) max[k] = value;
    }
  }
  const size = Math.max(...max.map((value, k) => Math.max(Math.abs(value), Math.abs(min[k]))));
  return { points, triangles, box: { min, max }, rounding: size * 2 ** -24 };
}

/** A point of the file in the frame. */
export function intoFrame(frame: DrawFrame, point: Vec3): Vec3 {
  const { origin, u, v, d } = frame;
  const p: Vec3 = [point[0] - origin[0], point[1] - origin[1], point[2] - origin[2]];
  return [dot(p, u), dot(p, v), dot(p, d)];
}

/** A point of the frame in the file. */
export function outOfFrame({ origin, u, v, d }: DrawFrame, x: number, y: number, z: number): Vec3 {
  return [
    origin[0] + x * u[0] + y * v[0] + z * d[0],
    origin[1] + x * u[1] + y * v[1] + z * d[1],
    origin[2] + x * u[2] + y * v[2] + z * d[2],
  ];
}
