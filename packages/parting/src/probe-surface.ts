/** Questions asked of the mesh itself, triangle by triangle: how far is the surface, and is this metal or sand? */
import type { Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';

/** The nearest point of a surface. */
export interface NearestPoint {
  readonly point: Vec3;
  readonly distance: number;
}

/** Finds the nearest point of the surface. Cost: one pass over the triangles, about 20 ns each. */
export function nearestOnSurface(pattern: Pattern, from: Vec3): NearestPoint {
  const { positions: p, triangles } = pattern;
  const [x, y, z] = from;
  let least = Infinity;
  let best: Vec3 = from;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    // Corners from the point; then the nearest point by regions of the triangle (Voronoi regions of its features).
    const ax = p[a] - x;
    const ay = p[a + 1] - y;
    const az = p[a + 2] - z;
    const ex = p[b] - p[a];
    const ey = p[b + 1] - p[a + 1];
    const ez = p[b + 2] - p[a + 2];
    const fx = p[c] - p[a];
    const fy = p[c + 1] - p[a + 1];
    const fz = p[c + 2] - p[a + 2];
    const d1 = -(ex * ax + ey * ay + ez * az);
    const d2 = -(fx * ax + fy * ay + fz * az);
    const ee = ex * ex + ey * ey + ez * ez;
    const ef = ex * fx + ey * fy + ez * fz;
    const ff = fx * fx + fy * fy + fz * fz;
    const d3 = d1 - ee;
    const d4 = d2 - ef;
    const d5 = d1 - ef;
    const d6 = d2 - ff;
    let s = 0;
    let r = 0;
    const vc = d1 * d4 - d3 * d2;
    const vb = d5 * d2 - d1 * d6;
    const va = d3 * d6 - d5 * d4;
    if (d1 <= 0 && d2 <= 0) {
      s = 0;
    } else if (d3 >= 0 && d4 <= d3) {
      s = 1;
    } else if (vc <= 0 && d1 >= 0 && d3 <= 0) {
      s = d1 / (d1 - d3);
    } else if (d6 >= 0 && d5 <= d6) {
      r = 1;
    } else if (vb <= 0 && d2 >= 0 && d6 <= 0) {
      r = d2 / (d2 - d6);
    } else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      r = (d4 - d3) / (d4 - d3 + (d5 - d6));
      s = 1 - r;
    } else {
      const sum = va + vb + vc;
      s = vb / sum;
      r = vc / sum;
    }
    const qx = ax + s * ex + r * fx;
    const qy = ay + s * ey + r * fy;
    const qz = az + s * ez + r * fz;
    const far = qx * qx + qy * qy + qz * qz;
    if (far < least) {
      least = far;
      best = [x + qx, y + qy, z + qz];
    }
  }
  return { point: best, distance: Math.sqrt(least) };
}

/**
 * How often the surface winds round a point: 1 in metal, 0 in sand, more where bodies overlap. NaN on or so near the surface, or
 * through so large a hole, that it cannot be told. Cost: one pass over the triangles, about 40 ns each.
 */
export function windingAt(pattern: Pattern, at: Vec3): number {
  const { positions: p, triangles } = pattern;
  let sum = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const ax = p[a] - at[0];
    const ay = p[a + 1] - at[1];
    const az = p[a + 2] - at[2];
    const bx = p[b] - at[0];
    const by = p[b + 1] - at[1];
    const bz = p[b + 2] - at[2];
    const cx = p[c] - at[0];
    const cy = p[c + 1] - at[1];
    const cz = p[c + 2] - at[2];
    const la = Math.sqrt(ax * ax + ay * ay + az * az);
    const lb = Math.sqrt(bx * bx + by * by + bz * bz);
    const lc = Math.sqrt(cx * cx + cy * cy + cz * cz);
    // Solid angle of a triangle (Van Oosterom and Strackee).
    const box = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    const den =
      la * lb * lc +
      (ax * bx + ay * by + az * bz) * lc +
      (bx * cx + by * cy + bz * cz) * la +
      (cx * ax + cy * ay + cz * az) * lb;
    sum += 2 * Math.atan2(box, den);
  }
  const turns = sum / (4 * Math.PI);
  const whole = Math.round(turns);
  return Math.abs(turns - whole) < 1e-3 ? whole + 0 : NaN;
}
