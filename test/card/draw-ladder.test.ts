import { renderMouldCard, type JobLadder } from '@oddside/card';
import { formatVolume } from '@oddside/core';
import { jointLadder } from '@oddside/parting';
import { planCasting, type CastingJob } from 'oddside';
import { beforeAll, describe, expect, it } from 'vitest';
import { trappedSand, type SandStrip } from '../../packages/card/src/trapped-sand.js';
import { asPattern, boxesUnion, span } from '../helpers/shapes.js';

const areaMm2 = (strips: readonly SandStrip[]): number =>
  strips.reduce((sum, { left, right, low, high }) => sum + (right - left) * (high - low), 0);
const few = { alloy: 'bz95_5', meshIs: 'pattern', samples: 60, columns: 96, candidates: 2, picturePx: 64 } as const;

/** A level profile over −50 … 50. */
const level = (height: number): number[] => Array.from({ length: 201 }, () => height);
/** Closed outline in x and z. */
const outline = (...corners: readonly (readonly [number, number])[]): { points: number[] } => ({
  points: corners.flatMap(([x, z]) => [x, 7, z]),
});

describe('sand trapped in a cut', () => {
  const square = outline([-20, 0], [20, 0], [20, 30], [-20, 30]);

  it('is none for a joint through the metal, and what lies between for one past it', () => {
    expect(trappedSand([square], level(10), -50, 50)).toEqual({ held: [], missed: [] });
    const under = trappedSand([square], level(-4), -50, 50);
    expect(areaMm2(under.missed)).toBeCloseTo(40 * 4, 9);
    const over = trappedSand([square], level(35), -50, 50);
    expect(areaMm2(over.missed)).toBeCloseTo(40 * 5, 9);
    expect([...under.held, ...over.held]).toEqual([]);
  });

  it('is held between two flanges whatever the joint', () => {
    const low = outline([-20, 0], [20, 0], [20, 5], [-20, 5]);
    const high = outline([-20, 15], [10, 15], [10, 20], [-20, 20]);
    for (const joint of [2, 10, 18]) {
      const { held, missed } = trappedSand([low, high], level(joint), -50, 50);
      expect(areaMm2(held)).toBeCloseTo(30 * 10, 9);
      // Beyond the upper flange only the lower one is there: a joint over it traps what lies between.
      expect(areaMm2(missed)).toBeCloseTo(10 * Math.max(0, joint - 5), 9);
    }
  });
});

describe('the kinds of joint on the card', () => {
  /** A stair drawn out along y: 30 wide everywhere, so that a cut tells the whole volume. */
  const stair = boxesUnion([
    span([0, 40], [0, 30], [0, 12]),
    span([40, 80], [0, 30], [20, 32]),
    span([36, 44], [0, 30], [0, 32]),
  ]);
  let job: CastingJob;
  let found: JobLadder;
  beforeAll(async () => {
    job = await planCasting(asPattern(stair, 'stair'), { ...few, direction: [0, 0, 1] });
    found = job.ladder!;
  }, 60_000);

  it('traps in its cut what it traps in the whole of a stair that is drawn out', () => {
    expect(found.rungs.map(({ kind }) => kind)).toEqual(['flat', 'tilted', 'sloped', 'free']);
    for (const { kind, profile, trappedMm3 } of found.rungs) {
      const { held, missed } = trappedSand(found.cut.loops, profile, found.left, found.right);
      const volumeMm3 = 30 * (areaMm2(held) + areaMm2(missed));
      expect(Math.abs(volumeMm3 - trappedMm3), kind).toBeLessThan(0.05 * found.rungs[0].trappedMm3);
    }
    // By hand: flat, one of the two treads lies 8 mm past the joint, 36 mm long; a stepped joint frees all of it.
    expect(found.rungs[0].trappedMm3).toBeGreaterThan(0.95 * 36 * 8 * 30);
    expect(found.rungs[0].trappedMm3).toBeLessThan(1.1 * 40 * 8 * 30);
    expect(found.rungs[3].trappedMm3).toBeLessThan(1e-3 * found.rungs[0].trappedMm3);
  });

  it('has the figures of the ladder along the chosen draw', async () => {
    const { rungs } = await jointLadder(job.laid, [0, 0, 1], { columns: 64, slopeLimitDeg: found.slopeLimitDeg });
    for (const [i, { trappedMm3, leastMm3, dugMm3, tiltDeg }] of rungs.entries())
      expect(found.rungs[i]).toMatchObject({ trappedMm3, leastMm3, dugMm3, tiltDeg });
  });

  it('shows a picture for each with its figures, and none where flat is as good as any', async () => {
    const page = renderMouldCard(job);
    const part = /<section class="part ladder">[\s\S]*?<\/section>/.exec(page)![0];
    expect(part.match(/<figure>/g)).toHaveLength(4);
    for (const { trappedMm3, dugMm3 } of found.rungs) {
      expect(part).toContain(`traps ${formatVolume(trappedMm3, 'metric', 3)}`);
      if (dugMm3 > 0) expect(part).toContain(`moves ${formatVolume(dugMm3, 'metric', 3)}`);
    }
    expect(part).not.toMatch(/NaN|undefined|Infinity/);
    const plate = await planCasting(asPattern(boxesUnion([span([0, 60], [0, 40], [0, 9])]), 'name plate'), few);
    const plain = /<section class="part ladder">[\s\S]*?<\/section>/.exec(renderMouldCard(plate))![0];
    expect(plain).toMatch(/flat is as good as any/);
    expect(plain).not.toContain('<figure>');
    expect(renderMouldCard({ ...plate, ladder: undefined })).not.toContain('class="part ladder"');
  });
});
