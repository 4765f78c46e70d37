/** One look over the surface before a search: its area, its middle, its size and its principal axes. */
import type { Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';

/** Whole-surface figures that do not depend on how the pattern is turned. */
export interface SurfaceSurvey {
  readonly areaMm2: number;
  /** Centroid of the surface (not of the solid), mm. Works for open scans too. */
  readonly centroid: Vec3;
  /** Twice the distance from the centroid to the furthest corner, mm. */
  readonly size: number;
  /** Axes of the surface's own spread, longest first, unit vectors. */
  readonly principalAxes: readonly [Vec3, Vec3, Vec3];
}

/** Surveys a pattern. Cost: two passes over the triangles and one over the corners. */
export function surveySurface(pattern: Pattern): SurfaceSurvey {
  const { positions, triangles } = pattern;
  const o: Vec3 = positions.length >= 3 ? [positions[0]!, positions[1]!, positions[2]!] : [0, 0, 0];
  let area = 0;
  let sx = 0;
  let sy = 0;
  let sz = 0;
  let xx = 0;
  let yy = 0;
  let zz = 0;
  let xy = 0;
  let yz = 0;
  let zx = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = positions[a]! - o[0];
    const ay = positions[a + 1]! - o[1];
    const az = positions[a + 2]! - o[2];
    const bx = positions[b]! - o[0];
    const by = positions[b + 1]! - o[1];
    const bz = positions[b + 2]! - o[2];
    const cx = positions[c]! - o[0];
    const cy = positions[c + 1]! - o[1];
    const cz = positions[c + 2]! - o[2];
    const nx = (by - ay) * (cz - az) - (bz - az) * (cy - ay);
    const ny = (bz - az) * (cx - ax) - (bx - ax) * (cz - az);
    const nz = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    const w = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
    const mx = ax + bx + cx;
    const my = ay + by + cy;
    const mz = az + bz + cz;
    area += w;
    sx += w * mx;
    sy += w * my;
    sz += w * mz;
    // Second moment of a triangle about the origin: its corners' and its middle's, (Σ p pᵀ + m mᵀ) / 12, times area.
    xx += w * (ax * ax + bx * bx + cx * cx + mx * mx);
    yy += w * (ay * ay + by * by + cy * cy + my * my);
    zz += w * (az * az + bz * bz + cz * cz + mz * mz);
    xy += w * (ax * ay + bx * by + cx * cy + mx * my);
    yz += w * (ay * az + by * bz + cy * cz + my * mz);
    zx += w * (az * ax + bz * bx + cz * cx + mz * mx);
  }
  const inv = area > 0 ? 1 / area : 0;
  const gx = (sx * inv) / 3;
  const gy = (sy * inv) / 3;
  const gz = (sz * inv) / 3;
  const k = inv / 12;
  const axes = eigenvectors3([
    [xx * k - gx * gx, xy * k - gx * gy, zx * k - gx * gz],
    [xy * k - gx * gy, yy * k - gy * gy, yz * k - gy * gz],
    [zx * k - gx * gz, yz * k - gy * gz, zz * k - gz * gz],
  ]);
  let far = 0;
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]! - o[0] - gx;
    const y = positions[i + 1]! - o[1] - gy;
    const z = positions[i + 2]! - o[2] - gz;
    far = Math.max(far, x * x + y * y + z * z);
  }
  return {
    areaMm2: area,
    centroid: [o[0] + gx, o[1] + gy, o[2] + gz],
    size: 2 * Math.sqrt(far),
    principalAxes: axes,
  };
}

/** Eigenvectors of a symmetric 3×3 matrix, largest eigenvalue first: cyclic Jacobi rotations, which cannot fail to settle. */
export function eigenvectors3(matrix: readonly (readonly number[])[]): [Vec3, Vec3, Vec3] {
  const a = matrix.map((row) => [...row]);
  const v = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ];
  const pairs = [
    [0, 1],
    [0, 2],
    [1, 2],
  ] as const;
  for (let sweep = 0; sweep < 30; sweep++) {
    for (const [p, q] of pairs) {
      const apq = a[p]![q]!;
      if (Math.abs(apq) <= 1e-300) continue;
      const theta = (a[q]![q]! - a[p]![p]!) / (2 * apq);
      const t = Math.sign(theta || 1) / (Math.abs(theta) + Math.sqrt(theta * theta + 1));
      const c = 1 / Math.sqrt(t * t + 1);
      const s = t * c;
      for (let i = 0; i < 3; i++) {
        const aip = a[i]![p]!;
        const aiq = a[i]![q]!;
        a[i]![p] = c * aip - s * aiq;
        a[i]![q] = s * aip + c * aiq;
      }
      for (let i = 0; i < 3; i++) {
        const api = a[p]![i]!;
        const aqi = a[q]![i]!;
        a[p]![i] = c * api - s * aqi;
        a[q]![i] = s * api + c * aqi;
        const vip = v[i]![p]!;
        const viq = v[i]![q]!;
        v[i]![p] = c * vip - s * viq;
        v[i]![q] = s * vip + c * viq;
      }
    }
  }
  const column = (j: number): Vec3 => [v[0]![j]!, v[1]![j]!, v[2]![j]!];
  const order = [0, 1, 2].sort((i, j) => a[j]![j]! - a[i]![i]!);
  return [column(order[0]!), column(order[1]!), column(order[2]!)];
}
