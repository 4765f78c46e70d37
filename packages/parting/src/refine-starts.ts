/**
 * Refines starting points one after another, each kept clear of those before it. With threads the next ones are begun
 * while one is still under way, as if it did not matter where that one ends. Mostly it does not: then the result is the one
 * that waiting would have given. Where it does, the start is refined again, so that the outcome is the same bit for bit.
 */
import type { Vec3 } from '@oddside/core';
import { axialAngleDeg } from './find-own-axes.js';
import type { TriedDraw } from './try-draw.js';

/** Refines one start among the draws that are free. */
export type RefineStart = (start: TriedDraw, free: (direction: Vec3) => boolean) => Promise<TriedDraw>;

/** How to refine starts. */
export interface StartRefining {
  /** How many are wanted. */
  readonly wanted: number;
  /** Least angle between two, degrees. */
  readonly apartDeg: number;
  /** Draws that wishes allow. */
  readonly admits: (direction: Vec3) => boolean;
  /** How many may be under way at once, 1 or more. */
  readonly atOnce: number;
  /** Told how many are refined. */
  readonly report: (refined: number) => void;
}

/** One start begun before its turn. */
interface Begun {
  readonly result: Promise<TriedDraw>;
  /** Directions that were held to be free. */
  readonly asked: Vec3[];
  /** Ends it soon. */
  abandon(): void;
}

/** Refines starts in their order until there are as many as are wanted; those too near one before them are left out. */
export async function refineStarts(
  starts: readonly TriedDraw[],
  { wanted, apartDeg, admits, atOnce, report }: StartRefining,
  refine: RefineStart,
): Promise<TriedDraw[]> {
  const refined: TriedDraw[] = [];
  const underWay = new Map<TriedDraw, Begun>();
  const isFree = (direction: Vec3): boolean =>
    admits(direction) && refined.every((kept) => axialAngleDeg(kept.direction, direction) >= apartDeg);
  /** Begins what will probably come next: starts that are free and clear of those under way. */
  const beginNext = (from: number): void => {
    const most = Math.min(atOnce, wanted - refined.length);
    for (let i = from; i < starts.length && underWay.size < most; i++) {
      const { direction } = starts[i];
      const clear = [...underWay.keys()].every((one) => axialAngleDeg(one.direction, direction) >= apartDeg);
      if (clear && isFree(direction)) underWay.set(starts[i], begin(starts[i], refine, isFree));
    }
  };
  try {
    for (const [i, start] of starts.entries()) {
      if (refined.length === wanted) break;
      let mine = underWay.get(start);
      // Begun early it asked for draws that have turned out not to be free: then it went another way than it may.
      if (mine && !(isFree(start.direction) && mine.asked.every(isFree))) {
        mine.abandon();
        underWay.delete(start);
        mine = undefined;
      }
      if (!isFree(start.direction)) continue;
      if (!mine) underWay.set(start, (mine = begin(start, refine, isFree)));
      beginNext(i + 1);
      refined.push(await mine.result);
      underWay.delete(start);
      report(refined.length);
    }
  } finally {
    for (const one of underWay.values()) one.abandon();
  }
  return refined;
}

function begin(start: TriedDraw, refine: RefineStart, isFree: (direction: Vec3) => boolean): Begun {
  const asked: Vec3[] = [];
  let abandoned = false;
  const result = refine(start, (direction) => {
    if (abandoned || !isFree(direction)) return false;
    asked.push(direction);
    return true;
  });
  // Until its turn comes a failure is nobody's; the turn that never comes never hears of it.
  result.catch(() => undefined);
  return { result, asked, abandon: () => void (abandoned = true) };
}
