/** Centroid and inertia from the integrals of a surface. */
import type { Bounds, Vec3 } from '@oddside/core';
import type { SurfaceIntegrals } from './integrate-surface.js';

/** A symmetric 3×3 matrix by rows. */
export type Tensor3 = readonly [Vec3, Vec3, Vec3];

/** The middle of a box. */
export function centreOf({ min, max }: Bounds): Vec3 {
  return [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2];
}

/** Centroid and inertia about it, from moments about `origin`; the sign of an inside-out mesh cancels. */
export function momentsAbout(
  integrals: SurfaceIntegrals,
  origin: Vec3,
): { readonly centroid: Vec3; readonly inertiaMm5: Tensor3 } {
  const sign = integrals.volume < 0 ? -1 : 1;
  const v = integrals.volume * sign;
  const x = (integrals.first[0] * sign) / v;
  const y = (integrals.first[1] * sign) / v;
  const z = (integrals.first[2] * sign) / v;
  const [sxx, syy, szz, sxy, syz, szx] = integrals.second;
  const xx = sxx * sign - v * x * x;
  const yy = syy * sign - v * y * y;
  const zz = szz * sign - v * z * z;
  const xy = v * x * y - sxy * sign;
  const yz = v * y * z - syz * sign;
  const zx = v * z * x - szx * sign;
  return {
    centroid: [origin[0] + x, origin[1] + y, origin[2] + z],
    inertiaMm5: [
      [yy + zz, xy, zx],
      [xy, xx + zz, yz],
      [zx, yz, xx + yy],
    ],
  };
}
