/** The last ring of a search, on the pattern itself: what a likeness is off must not decide where a draw ends. */
import type { Vec3 } from '@oddside/core';
import type { DrawRules } from './draw-rules.js';
import type { DrawTrier } from './draw-trier.js';
import { axialAngleDeg } from './find-own-axes.js';
import { NARROWEST_DEG, refineDraw } from './refine-draw.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** How to polish draws. */
export interface DrawPolish {
  /** How many of them, the best. */
  readonly count: number;
  /** Columns across the shadow. */
  readonly columns: number;
  /** Least angle between two draws, degrees: kept from the others as they are by then. */
  readonly apartDeg: number;
  /** Draws that wishes allow. */
  readonly admits: (direction: Vec3) => boolean;
}

/**
 * Polishes the best of some draws.
 *
 * @returns Those, best first, and behind them the others, best first. Cost: some ten casts a draw.
 */
export async function polishDraws(
  trier: DrawTrier,
  draws: readonly TriedDraw[],
  { count, columns, apartDeg, admits }: DrawPolish,
  rules: DrawRules,
  tick: () => Promise<void>,
): Promise<TriedDraw[]> {
  const sorted = draws.toSorted(drawOrder);
  const ring = { columns, stepDeg: NARROWEST_DEG, endDeg: NARROWEST_DEG };
  for (const [i, draw] of sorted.slice(0, count).entries()) {
    const free = (direction: Vec3): boolean =>
      admits(direction) && sorted.every((other, k) => k === i || axialAngleDeg(other.direction, direction) >= apartDeg);
    sorted[i] = await refineDraw(trier, draw, { ...ring, free }, rules, tick);
  }
  return [...sorted.slice(0, count).sort(drawOrder), ...sorted.slice(count)];
}
