import { add, cross, dot, scale, unitVector, type Vec3 } from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axialAngleDeg } from '../../packages/parting/src/find-own-axes.js';
import { refineStarts, type RefineStart, type StartRefining } from '../../packages/parting/src/refine-starts.js';
import { drawOrder, type TriedDraw } from '../../packages/parting/src/try-draw.js';
import * as s from '../helpers/shapes.js';

const APART_DEG = 20;
const WANTED = 6;
const VALLEYS: Vec3[] = [
  [0, 0, 1],
  [0.6, 0, 0.8],
  [0, 0.8, 0.6],
  [0.36, 0.48, 0.8],
];

const draw = (direction: Vec3): TriedDraw => {
  const far = Math.min(...VALLEYS.map((valley, i) => axialAngleDeg(valley, direction) + 10 * i));
  return { direction, from: 'even sampling', over: 0, points: 1 + far, backDraftMm3: 0, misfitMm3: 0, casts: 1 };
};

/** Goes downhill over free draws, in steps of so many degrees, and lets others have their turn now and then. */
function downhill(stepDeg: number, steps: number, pause: () => Promise<void>): RefineStart {
  return async (start, free) => {
    let best = start;
    for (let step = 0; step < steps; step++) {
      const u = unitVector(cross(best.direction, [0.3, 0.5, 0.7]));
      const v = cross(best.direction, u);
      const tilt = Math.tan((stepDeg * Math.PI) / 180);
      const ring = [u, v, scale(u, -1), scale(v, -1)].map((side) => unitVector(add(best.direction, scale(side, tilt))));
      best = [best, ...ring.filter(free).map(draw)].reduce((a, b) => (drawOrder(b, a) < 0 ? b : a));
      await pause();
    }
    return { ...best, casts: start.casts + steps };
  };
}

function refining(atOnce: number, pause: () => Promise<void>, few = WANTED): StartRefining & { closely: RefineStart } {
  return {
    wanted: WANTED,
    apartDeg: APART_DEG,
    admits: ([x]) => x > -0.9,
    nearly: downhill(6, 5, pause),
    closely: downhill(1, 4, pause),
    hopeless: (one, before) => before.filter((other) => other.points + 5 < one.points).length >= few,
    atOnce,
    report: () => undefined,
  };
}

const turns = (random: () => number) => async (): Promise<void> => {
  for (let k = Math.floor(3 * random()); k > 0; k--) await new Promise((resolve) => setImmediate(resolve));
};

describe('refineStarts', () => {
  it('comes to the same however many are under way and whichever is ready first', async () => {
    await fc.assert(
      fc.asyncProperty(fc.integer({ min: 1, max: 1e9 }), fc.integer({ min: 0, max: 3 }), async (seed, few) => {
        const random = s.seededRandom(seed);
        const starts = Array.from({ length: 25 }, () => draw(s.randomDirection(random) as [number, number, number]));
        const one = await refineStarts(starts, refining(1, turns(random), few));
        for (const atOnce of [2, 3, 5]) {
          expect(await refineStarts(starts, refining(atOnce, turns(random), few))).toEqual(one);
        }
        for (const [i, a] of one.entries()) {
          for (const b of one.slice(0, i)) {
            expect(axialAngleDeg(a.direction, b.direction)).toBeGreaterThanOrEqual(APART_DEG);
          }
        }
      }),
      { seed: 71, numRuns: 25 },
    );
  });

  it('does not refine to the end what so many before it are far better than', async () => {
    const random = s.seededRandom(5);
    const starts = Array.from({ length: 25 }, () => draw(s.randomDirection(random) as [number, number, number]));
    starts.sort(drawOrder);
    let ended = 0;
    const counting = (few: number): StartRefining => {
      const all = refining(1, turns(random), few);
      return { ...all, closely: (start, free) => (ended++, all.closely(start, free)) };
    };
    const whole = await refineStarts(starts, counting(WANTED));
    expect(ended).toBe(WANTED);
    ended = 0;
    const some = await refineStarts(starts, counting(2));
    expect(ended).toBeLessThan(WANTED);
    expect(ended).toBeGreaterThanOrEqual(2);
    expect(some.slice(0, 2)).toEqual(whole.slice(0, 2));
    const [first, , third] = some;
    expect(third.points).toBeGreaterThan(first.points + 5);
    expect(dot(third.direction, third.direction)).toBeCloseTo(1, 12);
  });
});
