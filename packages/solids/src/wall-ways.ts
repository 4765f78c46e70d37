/** The ways that the walls of a solid look: along these a piece fits snugly, where a way a degree off would rub. */
import type { Vec3 } from '@oddside/core';
import type { Body } from './kernel.js';
import { framedMeshOf } from './solid-mesh.js';

/** Faces that look farther than this out of level are no walls. */
const LEVEL = 1e-3;
/** Walls that look within half a degree of each other count as one. */
const BIN = Math.PI / 360;
/** Ways told: those of at least a tenth of all walls, six at most. */
const SHARE = 0.1;
const MOST = 6;

/** Unit vectors across the draw, in the frame, the widest wall first. Empty where no wall stands out, as on a scan. */
export function wallWays(body: Body): Vec3[] {
  const { points: p, triangles } = framedMeshOf(body);
  const bins = new Map<number, { x: number; y: number; area: number }>();
  let all = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i], 3 * triangles[i + 1], 3 * triangles[i + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const size = Math.hypot(x, y);
    if (size === 0 || Math.abs(z) > LEVEL * size) continue;
    all += size;
    const key = Math.round(Math.atan2(y, x) / BIN) % 720;
    const bin = bins.get(key) ?? { x: 0, y: 0, area: 0 };
    bins.set(key, { x: bin.x + x, y: bin.y + y, area: bin.area + size });
  }
  return [...bins.values()]
    .filter(({ area }) => area >= SHARE * all)
    .sort((a, b) => b.area - a.area)
    .slice(0, MOST)
    .map(({ x, y }) => levelWay(x, y));
}

/** A unit vector across the draw; along an axis of the frame to the last bit where it is as good as along it. */
export function levelWay(x: number, y: number): Vec3 {
  const size = Math.hypot(x, y);
  const [ux, uy] = [x / size, y / size];
  if (Math.abs(ux) < 1e-6) return [0, Math.sign(uy), 0];
  if (Math.abs(uy) < 1e-6) return [Math.sign(ux), 0, 0];
  return [ux, uy, 0];
}
