/** Local search on the sphere of draws: look around in a shrinking ring and go where it is better. */
import { add, frameAcross, radians, scale as times, unitVector, type Vec3 } from '@oddside/core';
import type { DrawRules } from './draw-rules.js';
import type { DrawToTry, DrawTrier } from './draw-trier.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** Draws in a ring. Six cover the circle without wasting casts on near twins. */
const RING = 6;
/** The ring at which a search usually ends, degrees: finer than a pattern can be bedded by hand. */
export const NARROWEST_DEG = 0.2;
/** Moves allowed before the ring must shrink, so that a long flat valley cannot hold the search up. */
const MOST_MOVES = 24;

/** How one refinement looks around. */
export interface Refinement {
  /** First radius of the ring, degrees: the covering radius of the samples it started from. */
  readonly stepDeg: number;
  /** The search ends when the ring is this narrow, degrees. */
  readonly endDeg: number;
  /** Columns across the shadow. */
  readonly columns: number;
  /** False for draws that belong to another candidate already. */
  readonly free: (direction: Vec3) => boolean;
  /**
   * Where samples lead downhill from a draw, among those that are free: asked after every move, so that what was sampled is
   * not walked over again ring by ring. Default: nowhere.
   */
  readonly below?: (draw: TriedDraw, free: (direction: Vec3) => boolean) => DrawToTry | undefined;
}

/**
 * Refines one draw.
 *
 * @param tick Called between casts; may yield.
 * @returns The best draw found, never worse than the start as the finer columns see it. About 40–60 casts.
 */
export async function refineDraw(
  trier: DrawTrier,
  start: TriedDraw,
  search: Refinement,
  rules: DrawRules,
  tick: () => Promise<void>,
): Promise<TriedDraw> {
  const { stepDeg, endDeg, columns, free, below } = search;
  let [best] = await trier.tryAll([start], columns, rules, tick);
  let casts = start.casts + 1;
  let moves = 0;
  let round = 0;
  for (let step = stepDeg; step > endDeg / 2; round++) {
    const ring: DrawToTry[] = ringAround(best.direction, step, round)
      .filter(free)
      .map((direction) => ({ direction, from: 'even sampling' }));
    const tried = await trier.tryAll(ring, columns, rules, tick);
    casts += ring.length;
    const nearest = tried.reduce((a, b) => (drawOrder(b, a) < 0 ? b : a), best);
    if (nearest !== best && moves < MOST_MOVES) {
      moves++;
      best = nearest;
      const lower = below?.(best, free);
      if (!lower) continue;
      const [there] = await trier.tryAll([lower], columns, rules, tick);
      casts++;
      if (drawOrder(there, best) < 0) best = there;
    } else {
      step /= 2;
    }
  }
  return { ...best, casts };
}

/** Directions at an angle round another; each ring is turned a little against the last. */
function ringAround(direction: Vec3, angleDeg: number, turn: number): Vec3[] {
  const { u, v } = frameAcross(direction);
  const tilt = Math.tan(radians(angleDeg));
  return Array.from({ length: RING }, (_, i) => {
    const phase = (2 * Math.PI * (i + 0.381966 * turn)) / RING;
    const side = add(times(u, tilt * Math.cos(phase)), times(v, tilt * Math.sin(phase)));
    return unitVector(add(direction, side));
  });
}
