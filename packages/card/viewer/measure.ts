/** What a place on the pattern says, and whether the halves leave it: plain sums on the scene's mesh. */
import { degrees, dot, type Vec3 } from '@oddside/core';
import type { SceneMesh } from '../src/read-scene.js';

/** A place that was pointed at. */
export interface Place {
  readonly point: Vec3;
  readonly triangle: number;
}

/** What is known about a place. */
export interface PlaceFigures {
  /** Angle between the surface and the draw, degrees. */
  readonly draftDeg: number;
  /** Height above the flat joint, mm; negative in the drag. */
  readonly aboveJoint: number;
  /** Metal behind the place, square to the surface, mm; `undefined` where the surface behind is open. */
  readonly thickness: number | undefined;
}

/** Unit normal of a triangle; zeros for one without area. */
export function normalOf({ positions: p, triangles }: SceneMesh, triangle: number): Vec3 {
  const [a, b, c] = [0, 1, 2].map((k) => triangles[triangle * 3 + k] * 3);
  const e = [0, 1, 2].map((k) => p[b + k] - p[a + k]);
  const f = [0, 1, 2].map((k) => p[c + k] - p[a + k]);
  const n: Vec3 = [e[1] * f[2] - e[2] * f[1], e[2] * f[0] - e[0] * f[2], e[0] * f[1] - e[1] * f[0]];
  const size = Math.hypot(...n);
  return size > 0 ? [n[0] / size, n[1] / size, n[2] / size] : [0, 0, 0];
}

/** The nearest triangle along a ray, both sides counted, further than `from` mm. Looks at every triangle. */
export function firstHit(
  mesh: SceneMesh,
  origin: Vec3,
  ray: Vec3,
  from: number,
): (Place & { far: number }) | undefined {
  const { positions: p, triangles } = mesh;
  let best = Infinity;
  let found = -1;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const ex = p[b] - p[a];
    const ey = p[b + 1] - p[a + 1];
    const ez = p[b + 2] - p[a + 2];
    const fx = p[c] - p[a];
    const fy = p[c + 1] - p[a + 1];
    const fz = p[c + 2] - p[a + 2];
    const hx = ray[1] * fz - ray[2] * fy;
    const hy = ray[2] * fx - ray[0] * fz;
    const hz = ray[0] * fy - ray[1] * fx;
    const det = ex * hx + ey * hy + ez * hz;
    if (det === 0) continue;
    const sx = origin[0] - p[a];
    const sy = origin[1] - p[a + 1];
    const sz = origin[2] - p[a + 2];
    const u = (sx * hx + sy * hy + sz * hz) / det;
    const qx = sy * ez - sz * ey;
    const qy = sz * ex - sx * ez;
    const qz = sx * ey - sy * ex;
    const v = (ray[0] * qx + ray[1] * qy + ray[2] * qz) / det;
    if (u < 0 || v < 0 || u + v > 1) continue;
    const far = (fx * qx + fy * qy + fz * qz) / det;
    if (far > from && far < best) {
      best = far;
      found = t / 3;
    }
  }
  if (found < 0) return undefined;
  const at = (k: 0 | 1 | 2): number => origin[k] + best * ray[k];
  return { point: [at(0), at(1), at(2)], triangle: found, far: best };
}

/** Figures of a place for one way. */
export function measurePlace(mesh: SceneMesh, way: SceneMesh['ways'][number], place: Place): PlaceFigures {
  const normal = normalOf(mesh, place.triangle);
  const inward: Vec3 = [-normal[0], -normal[1], -normal[2]];
  const behind = firstHit(mesh, place.point, inward, 1e-4);
  return {
    draftDeg: degrees(Math.asin(Math.min(1, Math.abs(dot(normal, way.draw))))),
    aboveJoint: dot(place.point, way.draw) - way.jointHeight,
    thickness: behind?.far,
  };
}
