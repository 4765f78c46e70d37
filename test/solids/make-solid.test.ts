import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import { asPattern, box, hollowCube, merge, sphere, translate, volumeOf } from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();

describe('makeSolid', () => {
  it('unites bodies that overlap and says what became of the volume', async () => {
    const two = asPattern(merge(box(), translate(box(), [0.5, 0.25, 0.125])));
    const made = await solids.makeSolid(two);
    const both = 0.5 * 0.75 * 0.875;
    expectNear(soundVolume(made.pattern), 2 - both);
    expect(made).toMatchObject({ shells: 2, bodies: 1 });
    expectNear(made.volumeChangeMm3, -both);
    expect(made.findings.map(({ code }) => code)).toEqual(['shells-united']);
  });

  it('keeps bodies that do not touch, and leaves a sound solid as it is', async () => {
    const apart = await solids.makeSolid(asPattern(merge(box(), translate(box(), [3, 0, 0]))));
    expect(apart).toMatchObject({ shells: 2, bodies: 2, findings: [] });
    expectNear(soundVolume(apart.pattern), 2);
    const ball = sphere(10, 3);
    const same = await solids.makeSolid(asPattern(ball));
    expect(same.findings).toEqual([]);
    expectNear(soundVolume(same.pattern), volumeOf(ball), 1e-6);
  });

  it('keeps a space shut in, and a body lying loose in it', async () => {
    const hollow = await solids.makeSolid(asPattern(hollowCube()));
    expectNear(soundVolume(hollow.pattern), 7);
    expect(hollow.volumeChangeMm3).toBeCloseTo(0, 5);
    const loose = translate(box([0, 0, 0], [0.5, 0.5, 0.5]), [0.75, 0.75, 0.75]);
    const rattle = await solids.makeSolid(asPattern(merge(hollowCube(), loose)));
    expectNear(soundVolume(rattle.pattern), 7.125);
  });

  it('keeps seven digits far from the origin', async () => {
    const far = translate(merge(box(), translate(box(), [0.5, 0, 0])), [1e6, -2e6, 3e6]);
    const made = await solids.makeSolid(asPattern(far));
    expectNear(made.volumeMm3, 1.5, 1e-6);
    expect(made.pattern.positions[0]).toBeGreaterThan(999_999);
  });
});
