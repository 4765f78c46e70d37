/** The taut string against strings that can be checked by hand. */
import { describe, expect, it } from 'vitest';
import { fitJointPlane } from '../../packages/parting/src/fit-joint-plane.js';
import { pullTautLoop, pullTautString } from '../../packages/parting/src/pull-taut-string.js';

const list = (...values: number[]): Float64Array => Float64Array.from(values);

describe('pullTautString', () => {
  it('is straight where it can be', () => {
    expect([...pullTautString(list(0, 1, 2, 4), list(0, -9, -9, 4), list(0, 9, 9, 4))]).toEqual([0, 1, 2, 4]);
  });

  it('bends over a bump and under a beam', () => {
    expect([...pullTautString(list(0, 1, 2, 3, 4), list(0, -9, 4, -9, 0), list(0, 9, 9, 9, 0))]).toEqual([
      0, 2, 4, 2, 0,
    ]);
    expect([...pullTautString(list(0, 1, 2, 3, 4), list(0, -9, -9, 3, 0), list(0, 9, -2, 9, 0))]).toEqual([
      0, -1, -2, 3, 0,
    ]);
  });
});

describe('pullTautLoop', () => {
  it('lies flat wherever a flat line fits, at the height wanted or as near as can be', () => {
    const along = list(0, 1, 2, 3);
    expect([...pullTautLoop(along, 4, list(0, 1, 0, 0), list(5, 5, 4, 5), 2)]).toEqual([2, 2, 2, 2]);
    expect([...pullTautLoop(along, 4, list(0, 1, 0, 0), list(5, 5, 4, 5), 9)]).toEqual([4, 4, 4, 4]);
  });

  it('closes on itself across the seam', () => {
    const along = list(0, 1, 2, 3, 4, 5);
    const low = list(-9, 3, -9, -9, -9, -9);
    const high = list(9, 9, 9, 9, 0, 9);
    expect([...pullTautLoop(along, 6, low, high, 0)]).toEqual([2, 3, 2, 1, 0, 1]);
  });
});

describe('fitJointPlane', () => {
  const u = list(0, 1, 0, 1, 0.5);
  const v = list(0, 0, 1, 1, 0.5);

  it('finds a tilted plane exactly', () => {
    const heights = u.map((x, i) => 0.3 * x - 0.2 * v[i] + 5);
    const plane = fitJointPlane(u, v, heights, heights);
    expect(plane.slopeU).toBeCloseTo(0.3, 6);
    expect(plane.slopeV).toBeCloseTo(-0.2, 6);
    expect(plane.height).toBeCloseTo(5, 6);
    expect(plane.miss).toBeLessThan(1e-6);
  });

  it('misses a saddle by half its rise, whatever the tilt', () => {
    const heights = list(1, -1, -1, 1, 0);
    expect(fitJointPlane(u, v, heights, heights).miss).toBeCloseTo(1, 6);
  });

  it('stays level where level fits', () => {
    const plane = fitJointPlane(u, v, list(0, 1, 0, 0, 0), list(5, 5, 5, 2, 5));
    expect(plane).toMatchObject({ slopeU: 0, slopeV: 0 });
    expect(plane.miss).toBeLessThanOrEqual(0);
  });
});
