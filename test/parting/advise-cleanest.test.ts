// The draw that leaves the sand must be shown even where it costs a good deal of digging.
import { advisePartings } from '@oddside/parting';
import { expect, test } from 'vitest';
import { asPattern, pinnedStairs, randomRotation, rotate, scale } from '../helpers/shapes.js';

test('O18 pinned stairs: the only pair that draws is among the candidates, however it is turned', async () => {
  const { axis, deg } = randomRotation(18);
  for (const mesh of [scale(pinnedStairs(), 20), rotate(scale(pinnedStairs(), 20), axis, deg)]) {
    const { candidates } = await advisePartings(asPattern(mesh), { samples: 400, columns: 128 });
    const draws = candidates.filter((candidate) => candidate.verdict === 'draws-shaped');
    expect(draws).toHaveLength(1);
    expect(draws[0].assessment.backDraftMm3).toBeLessThan(1e-6 * 23 * 20 ** 3);
    expect(draws[0].assessment.flat.misfitMm3 / 20 ** 3).toBeCloseTo(5, 0);
  }
});

test('unbeaten candidates are those that no other beats in every criterion', async () => {
  const { candidates } = await advisePartings(asPattern(scale(pinnedStairs(), 20)), { samples: 400, columns: 128 });
  expect(candidates[0].unbeaten).toBe(true);
  for (const candidate of candidates) {
    const beaten = candidates.some(
      (other) =>
        other.criteria.every(({ share }, i) => share <= candidate.criteria[i].share) &&
        other.criteria.some(({ share }, i) => share < candidate.criteria[i].share),
    );
    expect(candidate.unbeaten).toBe(!beaten);
  }
});
