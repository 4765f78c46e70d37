/**
 * Where a held place opens to the sand outside: its mouths. Sand that is held has metal over and under it, so its own
 * upper and lower faces lie against metal, and it can only open through its walls.
 */
import type { Vec3 } from '@oddside/core';
import type { FramedMesh } from './draw-frame.js';
import type { MetalAt } from './metal-at.js';

/** One mouth, as a patch of the place's own faces. In the frame. */
export interface Mouth {
  /** Corners of the patch, n×3, and its faces by them; they look out of the place. */
  readonly points: Float64Array;
  readonly triangles: Uint32Array;
  /** The way out: unit vector across the draw; up the draw where the mouth runs all round and no way across leads out of it. */
  readonly way: Vec3;
  /** Middle of its area, and how far out its farthest corner lies along the way. */
  readonly middle: Vec3;
  readonly face: number;
  readonly areaMm2: number;
  /** Across the way, level and upright, mm. */
  readonly width: number;
  readonly height: number;
  /** True where all of it can be seen from outside along the way: a print can be drawn out of it. */
  readonly straight: boolean;
  /** True where it runs all round, or looks as much one way as the other. */
  readonly ring: boolean;
}

/** Faces that look farther than this out of level are no walls. */
const LEVEL = 1e-3;
/** Walls side by side whose ways differ by less than 60° are one mouth. */
const BEND = 0.5;
/** A face seen more slantwise than this (cosine) cannot carry a print. */
const SLANT = 0.3;
/** A mouth whose faces' ways cancel out to this share runs all round. */
const RING = 0.1;

interface Wall {
  readonly t: number;
  readonly way: readonly [number, number];
  readonly area: number;
}

/** Finds the mouths of a place, largest first. */
export function findMouths(mesh: FramedMesh, metal: MetalAt): Mouth[] {
  const walls = openWalls(mesh, metal);
  const leader = walls.map((_, n) => n);
  const leaderOf = (n: number): number => {
    while (leader[n] !== n) n = leader[n] = leader[leader[n]];
    return n;
  };
  const byEdge = new Map<string, number>();
  for (const [n, { t, way }] of walls.entries()) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [mesh.triangles[t + k], mesh.triangles[t + ((k + 1) % 3)]];
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      const other = byEdge.get(key);
      if (other === undefined) byEdge.set(key, n);
      else if (way[0] * walls[other].way[0] + way[1] * walls[other].way[1] > BEND)
        leader[leaderOf(n)] = leaderOf(other);
    }
  }
  const groups = new Map<number, Wall[]>();
  for (const [n, wall] of walls.entries()) {
    const list = groups.get(leaderOf(n));
    if (list) list.push(wall);
    else groups.set(leaderOf(n), [wall]);
  }
  return [...groups.values()].map((group) => mouthOf(mesh, group)).sort((a, b) => b.areaMm2 - a.areaMm2);
}

/** Upright faces of the place that have no metal behind them. */
function openWalls({ points: p, triangles, box, rounding }: FramedMesh, metal: MetalAt): Wall[] {
  const size = Math.max(...[0, 1, 2].map((k) => box.max[k] - box.min[k]));
  const step = Math.max(64 * rounding, 1e-3 * size);
  const walls: Wall[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const twice = Math.hypot(x, y);
    if (twice === 0 || Math.abs(z) > LEVEL * twice) continue;
    const way = [x / twice, y / twice] as const;
    const middle = [0, 1, 2].map((k) => (p[a + k] + p[b + k] + p[c + k]) / 3);
    if (metal(middle[0] + step * way[0], middle[1] + step * way[1], middle[2])) continue;
    walls.push({ t, way, area: twice / 2 });
  }
  return walls;
}

function mouthOf({ points: p, triangles }: FramedMesh, walls: readonly Wall[]): Mouth {
  const area = walls.reduce((sum, wall) => sum + wall.area, 0);
  const [sx, sy] = [0, 1].map((k) => walls.reduce((sum, wall) => sum + wall.area * wall.way[k], 0));
  const size = Math.hypot(sx, sy);
  const ring = size <= RING * area;
  const way = snapped(ring ? [1, 0, 0] : [sx / size, sy / size, 0]);
  const cross: Vec3 = [-way[1], way[0], 0];
  const numberOf = new Map<number, number>();
  const points: number[] = [];
  const middle = [0, 0, 0];
  const faces: number[] = [];
  for (const wall of walls) {
    for (let k = 0; k < 3; k++) {
      const corner = triangles[wall.t + k];
      const at = [p[3 * corner], p[3 * corner + 1], p[3 * corner + 2]];
      for (let axis = 0; axis < 3; axis++) middle[axis] += (wall.area * at[axis]) / (3 * area);
      if (!numberOf.has(corner)) {
        numberOf.set(corner, numberOf.size);
        points.push(...at);
      }
      faces.push(numberOf.get(corner)!);
    }
  }
  const reach = (axis: Vec3): readonly [number, number] => {
    const along = Array.from(numberOf.values(), (n) =>
      axis.reduce((sum, part, k) => sum + part * points[3 * n + k], 0),
    );
    return along.reduce(([low, high], at) => [Math.min(low, at), Math.max(high, at)], [Infinity, -Infinity]);
  };
  const [left, right] = reach(cross);
  const [low, high] = reach([0, 0, 1]);
  return {
    points: Float64Array.from(points),
    triangles: Uint32Array.from(faces),
    way: ring ? [0, 0, 1] : way,
    middle: [middle[0], middle[1], middle[2]],
    face: ring ? high : reach(way)[1],
    areaMm2: area,
    width: right - left,
    height: high - low,
    ring,
    straight: !ring && walls.every((wall) => wall.way[0] * way[0] + wall.way[1] * way[1] > SLANT),
  };
}

const snapped = ([x, y]: Vec3): Vec3 =>
  Math.abs(x) < 1e-6 ? [0, Math.sign(y), 0] : Math.abs(y) < 1e-6 ? [Math.sign(x), 0, 0] : [x, y, 0];
