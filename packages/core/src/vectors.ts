/** Small vector arithmetic on plain triples. Hot loops use typed arrays and write the sums out instead. */
import { OddsideError } from './error.js';

/** A point or direction, mm or unitless. */
export type Vec3 = readonly [number, number, number];

/** The box that holds a pattern: two opposite corners, mm. */
export interface Bounds {
  readonly min: Vec3;
  readonly max: Vec3;
}

export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const subtract = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const scale = (a: Vec3, factor: number): Vec3 => [a[0] * factor, a[1] * factor, a[2] * factor];
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const length = (a: Vec3): number => Math.hypot(a[0], a[1], a[2]);

/**
 * The direction of a vector.
 *
 * @param what What the vector is, for the message.
 * @throws OddsideError `bad-direction` for a zero, non-finite or malformed vector.
 */
export function unitVector(vector: ArrayLike<number>, what = 'The direction'): Vec3 {
  const given = vector && typeof vector === 'object' ? Array.from(vector) : vector;
  const ok = Array.isArray(given) && given.length === 3 && given.every((c) => typeof c === 'number');
  // Scaled first, so that neither 1e-200 nor 1e200 loses its direction on the way through the square.
  const largest = ok ? Math.max(Math.abs(given[0]), Math.abs(given[1]), Math.abs(given[2])) : NaN;
  if (!(largest > 0) || largest === Infinity) {
    throw new OddsideError(
      'bad-direction',
      `${what} must be three finite numbers that are not all zero, such as [0, 0, 1]; ${JSON.stringify(given)} came.`,
      { given },
    );
  }
  const scaled: Vec3 = [given[0] / largest, given[1] / largest, given[2] / largest];
  return scale(scaled, 1 / length(scaled));
}

/** Angle between two directions in degrees, 0–180. Accurate for small angles too. */
export function angleBetweenDeg(a: Vec3, b: Vec3): number {
  return (Math.atan2(length(cross(a, b)), dot(a, b)) * 180) / Math.PI;
}

/**
 * Two unit vectors `u`, `v` that complete the unit vector `d` to a right-handed frame (`u × v = d`).
 * For an axis of the file, `u` and `v` are axes of the file too.
 */
export function frameAcross(d: Vec3): { u: Vec3; v: Vec3 } {
  const ax = Math.abs(d[0]);
  const ay = Math.abs(d[1]);
  const az = Math.abs(d[2]);
  // Start from the axis that `d` leans on least; among equals the first, so that the frame is always the same.
  const helper: Vec3 = ax <= ay && ax <= az ? [1, 0, 0] : ay <= az ? [0, 1, 0] : [0, 0, 1];
  const along = dot(helper, d);
  const u = unitVector(subtract(helper, scale(d, along)));
  return { u, v: cross(d, u) };
}
