/**
 * Refines starting points one after another, each kept clear of those before it. With threads the next ones are begun
 * while one is still under way, as if it did not matter where that one ends. Mostly it does not: then the result is the one
 * that waiting would have given. Where it does, the start is refined again, so that the outcome is the same bit for bit.
 */
import type { Vec3 } from '@oddside/core';
import { axialAngleDeg } from './find-own-axes.js';
import type { TriedDraw } from './try-draw.js';

/** Refines one draw among those that are free. */
export type RefineStart = (start: TriedDraw, free: (direction: Vec3) => boolean) => Promise<TriedDraw>;

/** How to refine starts. */
export interface StartRefining {
  /** How many are wanted. */
  readonly wanted: number;
  /** Least angle between two, degrees. */
  readonly apartDeg: number;
  /** Draws that wishes allow. */
  readonly admits: (direction: Vec3) => boolean;
  /** Refines a start until it is in its valley, and what comes of that to the end. */
  readonly nearly: RefineStart;
  readonly closely: RefineStart;
  /** Whether a draw in its valley need not be refined to the end, for what was refined before it; more of it never helps. */
  readonly hopeless: (draw: TriedDraw, refined: readonly TriedDraw[]) => boolean;
  /** How many may be under way at once, 1 or more. */
  readonly atOnce: number;
  /** Told how many are refined. */
  readonly report: (refined: number) => void;
}

/** One start begun before its turn. */
interface Begun {
  /** In its valley, and at the end; the same where it is hopeless. */
  readonly result: Promise<readonly [TriedDraw, TriedDraw]>;
  /** Directions that were held to be free. */
  readonly asked: Vec3[];
  /** Ends it soon. */
  abandon(): void;
}

/** Refines starts in their order until there are as many as are wanted; those too near one before them are left out. */
export async function refineStarts(starts: readonly TriedDraw[], refining: StartRefining): Promise<TriedDraw[]> {
  const { wanted, apartDeg, admits, hopeless, atOnce, report } = refining;
  const refined: TriedDraw[] = [];
  const underWay = new Map<TriedDraw, Begun>();
  const isFree = (direction: Vec3): boolean => admits(direction) && isClear(refined, direction, apartDeg);
  /** Begins what will probably come next: starts that are free and clear of those under way. */
  const beginNext = (from: number): void => {
    const most = Math.min(atOnce, wanted - refined.length);
    for (let i = from; i < starts.length && underWay.size < most; i++) {
      const { direction } = starts[i];
      if (isClear(underWay.keys(), direction, apartDeg) && isFree(direction))
        underWay.set(starts[i], begin(starts[i], refining, refined, isFree));
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
      if (!mine) underWay.set(start, (mine = begin(start, refining, refined, isFree)));
      beginNext(i + 1);
      const [near, end] = await mine.result;
      // Begun early it may have been refined to the end before it was known to be hopeless.
      refined.push(hopeless(near, refined) ? near : end);
      underWay.delete(start);
      report(refined.length);
    }
  } finally {
    for (const one of underWay.values()) one.abandon();
  }
  return refined;
}

/** Whether a direction is so far from some draws. */
function isClear(draws: Iterable<TriedDraw>, direction: Vec3, apartDeg: number): boolean {
  for (const draw of draws) if (axialAngleDeg(draw.direction, direction) < apartDeg) return false;
  return true;
}

function begin(
  start: TriedDraw,
  { nearly, closely, hopeless }: StartRefining,
  refined: readonly TriedDraw[],
  isFree: (direction: Vec3) => boolean,
): Begun {
  const asked: Vec3[] = [];
  let abandoned = false;
  const free = (direction: Vec3): boolean => {
    if (abandoned || !isFree(direction)) return false;
    asked.push(direction);
    return true;
  };
  const toTheEnd = async (): Promise<readonly [TriedDraw, TriedDraw]> => {
    const near = await nearly(start, free);
    return [near, abandoned || hopeless(near, refined) ? near : await closely(near, free)];
  };
  const result = toTheEnd();
  // Until its turn comes a failure is nobody's; the turn that never comes never hears of it.
  result.catch(() => undefined);
  return { result, asked, abandon: () => void (abandoned = true) };
}
