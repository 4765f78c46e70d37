import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const cube = s.asPattern(s.box([0, 0, 0], [100, 60, 40]));

describe('scalePattern', () => {
  it('allows for contraction by either definition', async () => {
    const ofCasting = await solids.scalePattern(cube, { contraction: 0.02 });
    expect(s.boundsOf(ofCasting.pattern).max).toEqual([102, 61.2, 40.8]);
    const ofPattern = await solids.scalePattern(cube, { contraction: 0.02, shareOf: 'pattern' });
    // Casting = pattern × 0.98: the casting comes out at 100 again.
    expect(s.boundsOf(ofPattern.pattern).max[0] * 0.98).toBeCloseTo(100, 12);
    const perAxis = await solids.scalePattern(cube, { contraction: [0.01, 0, 0.03] });
    expect(perAxis.factors).toEqual([1.01, 1, 1.03]);
    expectNear(soundVolume(perAxis.pattern), 240_000 * 1.01 * 1.03, 1e-12);
  });

  it('adds stock to the faces that look one way, at the casting’s size, before contraction', async () => {
    const made = await solids.scalePattern(cube, { contraction: 0.01, stock: [{ normal: [0, 0, 1], stock: 3 }] });
    expectNear(soundVolume(made.pattern), 100 * 60 * 43 * 1.01 ** 3);
    expectNear(made.stockMm3, 18_000);
    expectNear(soundVolume(made.stock!), 18_000);
    expect(s.boundsOf(made.stock!).min[2]).toBeCloseTo(40, 4);
  });

  it('adds stock on two faces, on a slanting one, and only above a height', async () => {
    const both = await solids.scalePattern(cube, {
      stock: [
        { normal: [0, 0, 1], stock: 3 },
        { normal: [1, 0, 0], stock: 2 },
      ],
    });
    expectNear(soundVolume(both.pattern), 102 * 60 * 43);
    const wedge = s.asPattern(
      s.extrude(
        [
          [0, 0],
          [40, 0],
          [40, 30],
        ],
        20,
      ),
    );
    const slant = await solids.scalePattern(wedge, { stock: [{ normal: [-3, 4, 0], stock: 1 }] });
    expectNear(slant.stockMm3, 50 * 20);
    soundVolume(slant.pattern);
    const steps = s.asPattern(s.pinnedStairs());
    const top = await solids.scalePattern(steps, { stock: [{ normal: [0, 0, 1], stock: 0.5, from: 4 }] });
    expectNear(top.stockMm3, 2 * 2 * 0.5);
    soundVolume(top.pattern);
  });

  it('says where no face looks that way', async () => {
    const none = await solids.scalePattern(cube, { stock: [{ normal: [1, 1, 1], stock: 2 }] });
    expect(none).toMatchObject({ stock: null, stockMm3: 0 });
    expect(none.findings.map(({ code }) => code)).toEqual(['no-face-to-machine']);
  });

  it('draws in across the draw for rapping and not along it', async () => {
    const rod = s.asPattern(s.extrude(s.circle(20, 96), 50));
    const made = await solids.scalePattern(rod, { rapping: 0.5 });
    const { min, max } = s.boundsOf(made.pattern);
    expect(max[0]).toBeCloseTo(19.5, 6);
    expect(max[2] - min[2]).toBeCloseTo(50, 9);
    await expect(solids.scalePattern(rod, { rapping: 15 })).rejects.toMatchObject({ code: 'bad-number' });
  });

  it('refuses a contraction in per cent', async () => {
    await expect(solids.scalePattern(cube, { contraction: 1.3 })).rejects.toMatchObject({ code: 'bad-number' });
  });
});
