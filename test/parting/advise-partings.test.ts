import { describe, expect, it } from 'vitest';
import { advisePartings, axialAngleDeg, candidateAlong } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const few = { samples: 200, searchColumns: 32, columns: 128 } as const;

describe('advisePartings', () => {
  it('O15 lays a pulley on its side, never on its axis', async () => {
    const advice = await advisePartings(s.asPattern(s.scale(s.pulley(3, 2, 1.5), 20)), few);
    const best = advice.candidates[0];
    expect(axialAngleDeg(best.direction, [0, 0, 1])).toBeCloseTo(90, 1);
    expect(best.verdict).toBe('draws-flat');
    expect(advice.findings).toEqual([]);
  });

  it("O18 a draw of the caller's own is judged by the same rules: pinned stairs draw along z with a shaped joint only", () => {
    const stairs = s.asPattern(s.scale(s.pinnedStairs(), 10));
    expect(candidateAlong(stairs, [0, 0, 1]).verdict).toBe('draws-shaped');
    for (const draw of [
      [1, 0, 0],
      [0, 1, 0],
      [0.2, 0, 1],
    ] as Vec3[])
      expect(candidateAlong(stairs, draw).verdict).toBe('held');
  });

  it('O20 draws a dovetail along its slot', async () => {
    const advice = await advisePartings(s.asPattern(s.scale(s.dovetail(1, 2, 1, 3), 30)), few);
    expect(axialAngleDeg(advice.candidates[0].direction, [0, 1, 0])).toBeLessThan(0.01);
    expect(advice.candidates[0].assessment.backDraftMm3).toBeLessThan(1e-6);
  });

  it.each([
    ['O22 hollow cube', s.hollowCube(), 'enclosed void'],
    ['O24 trefoil', s.trefoil(0.35, 120, 12), 'witness balls'],
  ])('%s: proves that no draw exists', async (_name, mesh, by) => {
    const advice = await advisePartings(s.asPattern(s.scale(mesh, 20)), few);
    expect(advice.candidates.length).toBeGreaterThan(0);
    expect(advice.candidates.every((c) => c.verdict === 'held')).toBe(true);
    expect(advice.proof).toMatchObject({ proved: true, by });
    expect(advice.findings[0]).toMatchObject({ code: 'no-draw-exists', severity: 'problem' });
  });

  it('O21 mug: without a proof it says that none was found, and that this is no proof', async () => {
    const mug = s.asPattern(s.scale(s.blockyMug(), 20));
    const advice = await advisePartings(mug, { ...few, prove: false });
    expect(advice.proof).toBeNull();
    expect(advice.candidates.every((c) => c.verdict === 'held')).toBe(true);
    expect(advice.findings[0]).toMatchObject({ code: 'no-clean-draw', severity: 'problem' });
    expect(advice.findings[0].message).toMatch(/not a proof/);
  });

  it('candidates of the hare: at least three, apart, ranked by points that add up, and no worse than any sample', async () => {
    const hare = s.asPattern(s.scale(bunnyMesh(), 15));
    const advice = await advisePartings(hare, { ...few, samples: 400 });
    expect(advice.candidates.length).toBeGreaterThanOrEqual(3);
    advice.candidates.forEach((c, i) => {
      expect(c.rank).toBe(i + 1);
      expect(c.points).toBeCloseTo(
        c.criteria.reduce((sum, criterion) => sum + criterion.points, 0),
        9,
      );
      if (i > 0) expect(c.points).toBeGreaterThanOrEqual(advice.candidates[i - 1].points);
      advice.candidates.slice(0, i).forEach((other) => {
        expect(axialAngleDeg(c.direction, other.direction)).toBeGreaterThan(19);
      });
    });
    const random = s.seededRandom(2);
    for (let i = 0; i < 60; i++) {
      const other = candidateAlong(hare, s.randomDirection(random) as Vec3, { columns: 96 });
      expect(other.points).toBeGreaterThan(0.97 * advice.candidates[0].points);
    }
  });

  it('is the same every time', async () => {
    const mug = s.asPattern(s.blockyMug());
    expect(await advisePartings(mug, few)).toEqual(await advisePartings(mug, few));
  });

  it('reports a fraction that never falls and ends in one 1; stops on abort with the reason', async () => {
    const seen: number[] = [];
    await advisePartings(s.asPattern(s.lBracket()), { ...few, onProgress: (f) => seen.push(f) });
    expect(seen.every((f, i) => i === 0 || f >= seen[i - 1])).toBe(true);
    expect(seen.filter((f) => f === 1)).toHaveLength(1);
    expect(seen[seen.length - 1]).toBe(1);
    const stop = new AbortController();
    const reason = new Error('enough');
    const running = advisePartings(s.asPattern(bunnyMesh()), { samples: 20_000, signal: stop.signal });
    setTimeout(() => stop.abort(reason), 30);
    await expect(running).rejects.toBe(reason);
  });

  it.each([
    [{ samples: 10 }, 'bad-number'],
    [{ candidates: 0 }, 'bad-number'],
    [{ apartDeg: 0 }, 'bad-number'],
    [{ sample: 100 }, 'bad-option'],
    [{ weights: { backdraft: 3 } }, 'bad-option'],
  ])('refuses %j', async (options, code) => {
    await expect(advisePartings(s.asPattern(s.box()), options as object)).rejects.toMatchObject({ code });
  });

  it('refuses what is no pattern, before anything is worked out of it', async () => {
    const hole = s.asPattern(s.box());
    hole.triangles[4] = 999;
    const blown = s.asPattern(s.box());
    blown.positions[5] = NaN;
    for (const pattern of [hole, blown, {} as never]) {
      await expect(advisePartings(pattern)).rejects.toMatchObject({ code: 'bad-pattern' });
      expect(() => candidateAlong(pattern, [0, 0, 1])).toThrow(expect.objectContaining({ code: 'bad-pattern' }));
    }
    const none = s.asPattern({ positions: s.box().positions, triangles: new Uint32Array(0) });
    await expect(advisePartings(none)).rejects.toMatchObject({ code: 'no-triangles' });
  });
});
