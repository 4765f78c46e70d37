/** Hard limits: what is searched, what is refused, and by how much the nearest way misses. */
import { describe, expect, it } from 'vitest';
import { advisePartings, axialAngleDeg, NO_LIMITS, type DrawLimits, type PartingAdvice } from '@oddside/parting';
import { describePassed, jointWithin, limitsPassed, overLimits } from '../../packages/parting/src/draw-limits.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const few = { samples: 100, searchColumns: 24, columns: 96 } as const;
const block = s.asPattern(s.box([0, 0, 0], [20, 30, 50]));
const advise = (limits: Partial<DrawLimits>): Promise<PartingAdvice> => advisePartings(block, { ...few, limits });

describe('limits as numbers', () => {
  const scale = { volumeMm3: 1000, areaMm2: 400, size: 100 };
  const none = { copeDepth: 0, dragDepth: 0, projectedAreaMm2: 0, backDraftMm3: 0, flatMisfitMm3: 0 };
  it('each is counted as a share of the pattern, and rounding is none', () => {
    const limits = { ...NO_LIMITS, copeDepth: 10, projectedAreaMm2: 50, backDraftMm3: 0 };
    const figures = { ...none, copeDepth: 15, projectedAreaMm2: 60, backDraftMm3: 20 };
    expect(limitsPassed(figures, limits, scale).map(({ name }) => name)).toEqual([
      'copeDepth',
      'projectedAreaMm2',
      'backDraftMm3',
    ]);
    expect(overLimits(figures, limits, scale)).toBeCloseTo(0.05 + 0.1 + 0.02, 12);
    expect(overLimits({ ...none, copeDepth: 10 + 1e-5 }, limits, scale)).toBe(0);
    expect(overLimits(figures, NO_LIMITS, scale)).toBe(0);
  });

  it('a joint goes to the top, or as far down as the depth of the drag asks, but no further than is equally good', () => {
    expect(jointWithin(0, 20, 0, 20, NO_LIMITS)).toBe(20);
    expect(jointWithin(0, 20, 0, 20, { ...NO_LIMITS, dragDepth: 12 })).toBe(12);
    expect(jointWithin(0, 20, 0, 20, { ...NO_LIMITS, dragDepth: 12, copeDepth: 4 })).toBe(16);
    expect(jointWithin(8, 20, 0, 20, { ...NO_LIMITS, dragDepth: 5 })).toBe(8);
    expect(jointWithin(-2, 2, -20, 20, NO_LIMITS)).toBe(0);
    expect(jointWithin(-2, 2, -20, 20, { ...NO_LIMITS, copeDepth: 15 })).toBe(2);
  });

  it('is said in the units asked for', () => {
    const [passed] = limitsPassed({ ...none, copeDepth: 50.8 }, { ...NO_LIMITS, copeDepth: 25.4 }, scale);
    expect(describePassed(passed, 'metric')).toBe('stands 50.8 mm in the cope, 25.4 mm over the limit of 25.4 mm');
    expect(describePassed(passed, 'imperial')).toBe('stands 2 in in the cope, 1 in over the limit of 1 in');
  });
});

describe('advice within limits', () => {
  it.each([
    [{}, 0, 20],
    [{ projectedAreaMm2: 1100 }, 1, 30],
    [{ projectedAreaMm2: 700 }, 2, 50],
  ] as [Partial<DrawLimits>, number, number][])(
    'a block of 20 × 30 × 50 with %j lies along axis %i',
    async (limits, axis, depth) => {
      const { candidates } = await advise(limits);
      expect(Math.abs(candidates[0].direction[axis])).toBeCloseTo(1, 6);
      expect(candidates[0].assessment.dragDepth).toBeCloseTo(depth, 6);
      for (const { assessment } of candidates) {
        expect(assessment.shadowAreaMm2).toBeLessThanOrEqual(limits.projectedAreaMm2 ?? Infinity);
      }
    },
  );

  it('moves the joint of a block where its drag is too deep', async () => {
    const [best] = (await advise({ dragDepth: 12 })).candidates;
    expect(Math.abs(best.direction[0])).toBeCloseTo(1, 6);
    expect(best.assessment.dragDepth).toBeCloseTo(12, 9);
    expect(best.assessment.copeDepth).toBeCloseTo(8, 9);
    expect(best.verdict).toBe('draws-flat');
  });

  it('a stepped block lies on its edge where the cope is too shallow for its boss', async () => {
    // Flange 40 × 100 × 4 through a boss 20 × 60 × 40: upright the joint may lie in the flange only, 18 below the top.
    const stepped = s.asPattern(
      s.boxesUnion([s.span([-20, 20], [-50, 50], [-2, 2]), s.span([-10, 10], [-30, 30], [-20, 20])]),
    );
    const free = await advisePartings(stepped, few);
    expect(axialAngleDeg(free.candidates[0].direction, [0, 0, 1])).toBeLessThan(1e-6);
    const held = await advisePartings(stepped, { ...few, limits: { copeDepth: 15 } });
    expect(axialAngleDeg(held.candidates[0].direction, [1, 0, 0])).toBeLessThan(1e-6);
    expect(held.candidates[0].assessment.copeDepth).toBeCloseTo(15, 6);
    const refused = held.rejected.find(({ direction }) => axialAngleDeg(direction, [0, 0, 1]) < 1e-6);
    expect(refused?.reason).toBe('It stands 18 mm in the cope, 3 mm over the limit of 15 mm.');
    const just = await advisePartings(stepped, { ...few, limits: { copeDepth: 18 } });
    expect(axialAngleDeg(just.candidates[0].direction, [0, 0, 1])).toBeLessThan(1e-6);
  });

  it('where nothing keeps within them says what the nearest misses, and shows no candidate', async () => {
    const advice = await advise({ copeDepth: 4, dragDepth: 12 });
    expect(advice.candidates).toEqual([]);
    expect(advice.findings).toHaveLength(1);
    expect(advice.findings[0]).toMatchObject({ code: 'no-way-within-limits', severity: 'problem' });
    expect(advice.findings[0].message).toContain('lies 16 mm deep in the drag, 4 mm over the limit of 12 mm');
    expect(advice.rejected.length).toBeGreaterThan(0);
    expect(advice.proof).toBeNull();
  });

  it('searches within them: ways that no free search would have shown are found, not filtered out of it', async () => {
    const hare = s.asPattern(s.scale(bunnyMesh(), 10));
    const quick = { ...few, joints: false };
    const free = await advisePartings(hare, { ...quick, candidates: 8 });
    const areas = free.candidates.map(({ assessment }) => assessment.shadowAreaMm2);
    const limit = 0.97 * areas.reduce((least, area) => Math.min(least, area), Infinity);
    const advice = await advisePartings(hare, { ...quick, candidates: 1, limits: { projectedAreaMm2: limit } });
    expect(advice.candidates).toHaveLength(1);
    expect(advice.candidates[0].assessment.shadowAreaMm2).toBeLessThanOrEqual(limit);
    expect(advice.candidates[0].points).toBeGreaterThan(free.candidates[0].points);
  });

  it.each([
    [{ copeDepth: -1 }, 'bad-number'],
    [{ copeDepth: NaN }, 'bad-number'],
    [{ cope: 10 }, 'bad-option'],
  ])('refuses %j', async (limits, code) => {
    await expect(advise(limits as Partial<DrawLimits>)).rejects.toMatchObject({ code });
  });
});
