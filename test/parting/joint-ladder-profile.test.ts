import { describe, expect, it } from 'vitest';
import { jointLadder, type JointLadder } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];
const PLACES = 81;
const follow = (mesh: s.Mesh, half: number, options: object = {}): Promise<JointLadder> =>
  jointLadder(s.asPattern(mesh), Z, { along: { from: [-half, 0, 0], to: [half, 0, 0], places: PLACES }, ...options });

describe('the joints followed along a line', () => {
  it('lie flat on a cube, whichever they are, at a height in the file’s own coordinates', async () => {
    const { rungs } = await follow(s.box([-20, -20, 100], [20, 20, 140]), 30);
    for (const { profile } of rungs) {
      expect(profile).toHaveLength(PLACES);
      for (const height of profile) expect(height).toBeCloseTo(profile[0], 9);
      expect(profile[0]).toBeGreaterThanOrEqual(100);
      expect(profile[0]).toBeLessThanOrEqual(140);
    }
  });

  it('is empty where no line was given', async () => {
    const { rungs } = await jointLadder(s.asPattern(s.box([0, 0, 0], [9, 9, 9])), Z, { columns: 16 });
    for (const { profile } of rungs) expect(profile).toHaveLength(0);
  });

  it('runs along the middle of a plate that lies aslant', async () => {
    // A plate 8 thick, sheared: the middle rises 0.3 a mm. Only a tilted joint or better passes through it everywhere.
    const plate = s.box([-50, -40, -4], [50, 40, 4]);
    const aslant = {
      ...plate,
      positions: plate.positions.map((p, i, all) => (i % 3 === 2 ? p + 0.3 * all[i - 2] : p)),
    };
    const { rungs } = await follow(aslant, 70, { margin: 60 });
    const [flat, tilted, sloped, free] = rungs.map(({ profile }) => profile);
    const x = (i: number): number => -70 + (140 * i) / (PLACES - 1);
    for (let i = 0; i < PLACES; i++) {
      const middle = 0.3 * x(i);
      const inside = Math.abs(x(i)) < 48;
      expect(flat[i]).toBeCloseTo(flat[0], 9);
      if (i > 1) expect(tilted[i] - tilted[i - 1]).toBeCloseTo(tilted[1] - tilted[0], 9);
      if (!inside) continue;
      for (const profile of [tilted, sloped, free]) expect(Math.abs(profile[i] - middle)).toBeLessThan(4.5);
    }
    expect(rungs[1].trappedMm3).toBeLessThan(1e-3 * rungs[0].trappedMm3);
    // Outside the pattern the stepped joint is the flat one; the sloped one comes back to it no steeper than 30°.
    expect(free[0]).toBeCloseTo(flat[0], 9);
    const steepest = Math.tan(Math.PI / 6);
    for (let i = 1; i < PLACES; i++) {
      // Places fall on the nearest column, so a step may be a column longer than it is.
      expect(Math.abs(sloped[i] - sloped[i - 1])).toBeLessThan(steepest * (140 / (PLACES - 1) + 2.5));
    }
  });

  it('asks for a line it can follow', async () => {
    const mesh = s.box([0, 0, 0], [9, 9, 9]);
    const along = { from: [0, 0, 0] as Vec3, to: [9, 0, 0] as Vec3, places: 1 };
    await expect(follow(mesh, 9, { along })).rejects.toMatchObject({ code: 'bad-number' });
    await expect(follow(mesh, 9, { along: { ...along, from: [NaN, 0, 0], places: 9 } })).rejects.toMatchObject({
      code: 'bad-number',
    });
  });
});
