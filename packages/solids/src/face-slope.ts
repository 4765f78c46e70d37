/** The slope, area and middle of a face of a framed mesh. */
import type { Vec3 } from '@oddside/core';
import type { FramedMesh } from './draw-frame.js';

/** How a face lies to the half below it. */
export interface FaceSlope {
  /** Sine of its draft off what is rammed below: 1 where it looks straight down, 0 on a wall, less where it holds the sand. */
  readonly sine: number;
  /** mm²; 0 where it is so thin that the rounding of its corners says how it lies. */
  readonly area: number;
  /** How it rises in plan along x and y. */
  readonly rise: readonly [number, number];
  /** A sixth of its least width in plan, mm: so far about its middle it reaches for certain. */
  readonly room: number;
}

/** A face thinner than so many roundings lies any way. */
const THIN = 1e4;

export function slopeOf({ points: p, triangles, rounding }: FramedMesh, t: number): FaceSlope {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const twice = Math.hypot(x, y, z);
  const longest = Math.max(Math.hypot(ux, uy, uz), Math.hypot(vx, vy, vz), Math.hypot(vx - ux, vy - uy, vz - uz));
  if (twice <= THIN * rounding * longest) return { sine: 1, area: 0, rise: [0, 0], room: 0 };
  const wide = Math.max(Math.hypot(ux, uy), Math.hypot(vx, vy), Math.hypot(vx - ux, vy - uy));
  return { sine: -z / twice, area: twice / 2, rise: [-x / z, -y / z], room: Math.abs(z) / wide / 6 };
}

export function middleOf({ points: p, triangles }: FramedMesh, t: number): Vec3 {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  return [(p[a] + p[b] + p[c]) / 3, (p[a + 1] + p[b + 1] + p[c + 1]) / 3, (p[a + 2] + p[b + 2] + p[c + 2]) / 3];
}
