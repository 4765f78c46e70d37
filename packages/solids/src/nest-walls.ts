/** Which walls of a nest are the board's own: those that stand off the pattern. */
import type { Vec3 } from '@oddside/core';
import { lookUpSurface, type Pattern } from '@oddside/pattern';
import { outOfFrame, type DrawFrame, type FramedMesh } from './draw-frame.js';

/** Area of each wall that stands off, and how far the sum can be off, mm². */
export interface OffPattern {
  readonly areas: ReadonlyMap<number, number>;
  readonly errorMm2: number;
}

/** How often a face is quartered where it leaves the pattern: to a 64th of its length. */
const DEEPEST = 6;
/** Questions asked of the pattern's surface at most, some µs each; past that no face is quartered. */
const MOST_ASKED = 40_000;

type Corners = readonly [Vec3, Vec3, Vec3];

/**
 * Finds the parts of walls that are farther than `reach` from the pattern. The distance changes along a face by no more than
 * one goes along it, so many faces are settled by one question; one whose middle and corners lie at the pattern is the
 * pattern's; what lies across the limit is quartered.
 */
export function wallsOffPattern(
  { points: p, triangles }: FramedMesh,
  walls: readonly number[],
  frame: DrawFrame,
  pattern: Pattern,
  reach: number,
): OffPattern {
  const nearest = lookUpSurface(pattern);
  const areas = new Map<number, number>();
  let asked = 0;
  let errorMm2 = 0;
  const corner = (n: number): Vec3 => outOfFrame(frame, p[3 * n], p[3 * n + 1], p[3 * n + 2]);
  const areaOff = (face: Corners, area: number, depth: number): number => {
    const middle = mean(...face);
    const size = Math.max(...face.map((c) => Math.hypot(c[0] - middle[0], c[1] - middle[1], c[2] - middle[2])));
    const { distance } = nearest(middle);
    asked++;
    if (distance - size > reach) return area;
    if (distance <= reach) {
      asked += 3;
      if (face.every((c) => nearest(c).distance <= reach)) return 0;
    }
    if (depth === DEEPEST || asked >= MOST_ASKED) {
      errorMm2 += area;
      return distance > reach ? area : 0;
    }
    return quarters(face).reduce((sum, part) => sum + areaOff(part, area / 4, depth + 1), 0);
  };
  for (const t of walls) {
    const face: Corners = [corner(triangles[3 * t]), corner(triangles[3 * t + 1]), corner(triangles[3 * t + 2])];
    const off = areaOff(face, areaOf(face), 0);
    if (off > 0) areas.set(t, off);
  }
  return { areas, errorMm2 };
}

function mean(...points: readonly Vec3[]): Vec3 {
  const sum = (k: number): number => points.reduce((total, point) => total + point[k], 0) / points.length;
  return [sum(0), sum(1), sum(2)];
}

function quarters([a, b, c]: Corners): Corners[] {
  const [ab, bc, ca] = [mean(a, b), mean(b, c), mean(c, a)];
  return [
    [a, ab, ca],
    [ab, b, bc],
    [ca, bc, c],
    [ab, bc, ca],
  ];
}

function areaOf([a, b, c]: Corners): number {
  const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  return Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2;
}
