/** Looks for a draw near another that holds less sand. */
import { add, angleBetweenDeg, frameAcross, radians, scale, unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns, makeScratch } from './cast-columns.js';
import { sumColumns } from './measure-columns.js';

/** A draw near the one asked about; volumes as coarse columns see them. */
export interface TurnedDraw {
  readonly direction: Vec3;
  readonly angleDeg: number;
  readonly beforeMm3: number;
  readonly leftMm3: number;
}

const RING = 8;
const COLUMNS = 64;

/**
 * Goes downhill from a draw by rings of eight, each half as wide as the last, never further than the angle allowed.
 *
 * @param tick Called between casts with the share done; may yield.
 * @returns The best found, the draw itself where nothing is better. Cost: up to 80 casts of 64 columns.
 */
export async function turnDraw(
  pattern: Pattern,
  direction: Vec3,
  mostDeg: number,
  tick: (done: number) => Promise<void>,
): Promise<TurnedDraw> {
  const scratch = makeScratch(pattern);
  const heldAlong = (d: Vec3): number => sumColumns(castColumns(pattern, d, COLUMNS, scratch)).backDraftMm3;
  const beforeMm3 = heldAlong(direction);
  let best = { direction: unitVector(direction), leftMm3: beforeMm3 };
  const rounds = 10;
  let step = mostDeg / 2;
  for (let round = 0; round < rounds && step > 0.1; round++) {
    const { u, v } = frameAcross(best.direction);
    let better = best;
    for (let i = 0; i < RING; i++) {
      const turn = (2 * Math.PI * i) / RING;
      const side = add(scale(u, Math.cos(turn)), scale(v, Math.sin(turn)));
      const d = unitVector(add(best.direction, scale(side, Math.tan(radians(step)))));
      if (angleBetweenDeg(d, direction) > mostDeg + 1e-9) continue;
      const leftMm3 = heldAlong(d);
      if (leftMm3 < better.leftMm3) better = { direction: d, leftMm3 };
      await tick((round + (i + 1) / RING) / rounds);
    }
    if (better === best) step /= 2;
    best = better;
  }
  return { ...best, beforeMm3, angleDeg: angleBetweenDeg(best.direction, direction) };
}
