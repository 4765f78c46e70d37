/** Draws of all directions, a draw and its opposite being one, cut into triangles of the half sphere. */
import { add, angleBetweenDeg, unitVector, type Vec3 } from '@oddside/core';

/** A triangle of draws, unit vectors, and its share of the half sphere (a draw and its opposite are one). */
export interface DrawCell {
  readonly corners: readonly [Vec3, Vec3, Vec3];
  readonly share: number;
}

/** The half sphere in four. */
export function halfSphere(): DrawCell[] {
  const [x, y, z, w, v]: Vec3[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    [-1, 0, 0],
    [0, -1, 0],
  ];
  return [
    [x, y, z],
    [y, w, z],
    [w, v, z],
    [v, x, z],
  ].map((corners) => ({ corners: corners as unknown as DrawCell['corners'], share: 0.25 }));
}

/** The cap round a cell: it holds the corners, and being narrower than a half sphere all between them. */
export function capOf({ corners: [a, b, c] }: DrawCell): { middle: Vec3; reachDeg: number } {
  const middle = unitVector(add(add(a, b), c));
  return { middle, reachDeg: Math.max(...[a, b, c].map((corner) => angleBetweenDeg(middle, corner))) };
}

/** Four cells with the sides' middles; shares by area. */
export function cutInFour({ corners: [a, b, c], share }: DrawCell): DrawCell[] {
  const [ab, bc, ca] = [unitVector(add(a, b)), unitVector(add(b, c)), unitVector(add(c, a))];
  const cells: [Vec3, Vec3, Vec3][] = [
    [a, ab, ca],
    [ab, b, bc],
    [ca, bc, c],
    [ab, bc, ca],
  ];
  const areas = cells.map(areaOf);
  const whole = areas.reduce((sum, area) => sum + area, 0);
  return cells.map((corners, i) => ({ corners, share: (share * areas[i]) / whole }));
}

/** Solid angle of three unit vectors (Van Oosterom and Strackee). */
function areaOf([a, b, c]: readonly [Vec3, Vec3, Vec3]): number {
  const dot = (p: Vec3, q: Vec3): number => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
  const box =
    a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  return 2 * Math.atan2(Math.abs(box), 1 + dot(a, b) + dot(b, c) + dot(c, a));
}
