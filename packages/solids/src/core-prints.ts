/** Core prints: the mouths of a core drawn out level, with taper, so that the core lies in seats of the mould. */
import { isOddsideError, type Vec3 } from '@oddside/core';
import { bodyOfArrays } from './convert-body.js';
import type { Mouth } from './core-mouths.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

export interface PrintWish {
  /** mm; `undefined`: by the rule of {@link printLengthOf}. */
  readonly printLength: number | undefined;
  /** Taper of each side, degrees. */
  readonly taperDeg: number;
  /** Room between the core's print and its seat, mm. */
  readonly clearance: number;
}

/** A print in the frame: on the core, and on the pattern, larger by the clearance. */
export interface PlacedPrint {
  readonly mouth: Mouth;
  readonly length: number;
  readonly onCore: Body;
  readonly onPattern: Body;
}

/** Shortest and longest print that the rule gives, mm (common practice, no source). */
const SHORTEST = 8;
const LONGEST = 80;
/** A core held at one end must be this much heavier in its print than beyond it (common practice, no source). */
const BALANCE = 1.25;
/** How far a print reaches back into the place, as a share of its mouth, so that both are one solid. */
const INTO = 0.02;

/**
 * How long prints are made: as long as the mouth is across, 8 to 80 mm; where the core has one mouth only, so long that its
 * print outweighs what hangs beyond it (length² × area / 2 ≥ 1.25 × volume × its arm: the balance of two moments).
 *
 * @param arm How far the middle of the core lies within the mouth, mm.
 */
export function printLengthOf(mouth: Mouth, mouths: number, volumeMm3: number, arm: number): number {
  const across = Math.min(LONGEST, Math.max(SHORTEST, Math.min(mouth.width, mouth.height)));
  if (mouths > 1) return across;
  return Math.max(across, Math.sqrt((2 * BALANCE * volumeMm3 * Math.max(0, arm)) / mouth.areaMm2));
}

/**
 * Draws a mouth out. `null` where metal stands in the way at every length tried (whole, half and a quarter), or where the
 * mouth's outline touches itself.
 */
export function drawPrint(
  scope: Scope,
  metal: Body,
  mouth: Mouth,
  length: number,
  { taperDeg, clearance }: PrintWish,
): PlacedPrint | null {
  const half = Math.min(mouth.width, mouth.height) / 2;
  const taper = Math.tan((taperDeg * Math.PI) / 180);
  for (const share of [1, 0.5, 0.25]) {
    const long = share * length;
    const narrow = Math.max(0.2, 1 - (taper * long) / half);
    const onCore = printBody(scope, mouth, long, 1, narrow);
    if (!onCore) return null;
    const wide = 1 + clearance / half;
    const onPattern = clearance === 0 ? onCore : printBody(scope, mouth, long + clearance, wide, wide * narrow);
    if (!onPattern) return null;
    // Where a bore narrows inward the print's foot lies in metal by a little; a wall in the way is another thing.
    const clear = scope.cut(onCore, metal);
    const foot = 2 * INTO * half * mouth.areaMm2 + clearance * mouth.areaMm2;
    if (onCore.volume() - clear.volume() <= foot) return { mouth, length: long, onCore: clear, onPattern };
  }
  return null;
}

/** A mouth drawn out: its own faces at the foot, grown by `foot`, and the same flat at the end, grown by `end`. */
function printBody(scope: Scope, mouth: Mouth, length: number, foot: number, end: number): Body | null {
  const { points: p, triangles, way, middle, face } = mouth;
  const into = INTO * Math.min(mouth.width, mouth.height);
  const count = p.length / 3;
  const points = new Float32Array(6 * count);
  const dotWay = (x: number, y: number): number => x * way[0] + y * way[1];
  for (let n = 0; n < count; n++) {
    const from: Vec3 = [p[3 * n] - middle[0], p[3 * n + 1] - middle[1], p[3 * n + 2] - middle[2]];
    const along = dotWay(from[0], from[1]);
    const across: Vec3 = [from[0] - along * way[0], from[1] - along * way[1], from[2]];
    const put = (at: number, growth: number, out: number): void => {
      for (let k = 0; k < 3; k++) points[at + k] = middle[k] + growth * across[k] + out * way[k];
    };
    put(3 * n, foot, along - into);
    put(3 * (count + n), end, face + length - dotWay(middle[0], middle[1]));
  }
  try {
    return bodyOfArrays(scope, points, shellOf(triangles, count), 'A core print');
  } catch (error) {
    if (isOddsideError(error)) return null;
    throw error;
  }
}

/** The patch turned over at the foot, the patch at the end, and walls along its rim. */
function shellOf(triangles: Uint32Array, count: number): Uint32Array {
  const faces: number[] = [];
  const rim = new Map<string, readonly [number, number]>();
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    faces.push(a, c, b, a + count, b + count, c + count);
    for (const [q, r] of [
      [a, b],
      [b, c],
      [c, a],
    ] as const) {
      if (!rim.delete(`${r} ${q}`)) rim.set(`${q} ${r}`, [q, r]);
    }
  }
  for (const [q, r] of rim.values()) faces.push(q, r, r + count, q, r + count, q + count);
  return Uint32Array.from(faces);
}
