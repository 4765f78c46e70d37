import {
  add,
  angleBetweenDeg,
  cross,
  dot,
  frameAcross,
  isOddsideError,
  length,
  scale,
  subtract,
  unitVector,
  type Vec3,
} from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const component = fc.double({ min: -1000, max: 1000, noNaN: true });
const vector = fc.tuple(component, component, component);
const direction = vector.filter((v) => Math.hypot(...v) > 1e-3).map((v) => unitVector(v));

describe('arithmetic', () => {
  it('of small triples', () => {
    expect(dot([1, 2, 3], [4, 5, 6])).toBe(32);
    expect(add([1, 2, 3], [4, 5, 6])).toEqual([5, 7, 9]);
    expect(subtract([4, 5, 6], [1, 2, 3])).toEqual([3, 3, 3]);
    expect(scale([1, -2, 3], 2)).toEqual([2, -4, 6]);
    expect(cross([1, 0, 0], [0, 1, 0])).toEqual([0, 0, 1]);
    expect(length([2, 3, 6])).toBe(7);
  });

  it('the cross product is square to both and keeps Lagrange’s identity (seed 16)', () => {
    fc.assert(
      fc.property(vector, vector, (a, b) => {
        const c = cross(a, b);
        const size = length(a) * length(b) + 1e-30;
        expect(Math.abs(dot(c, a)) / (size * (length(a) + 1))).toBeLessThan(1e-12);
        expect((dot(c, c) + dot(a, b) ** 2 - (length(a) * length(b)) ** 2) / size ** 2).toBeCloseTo(0, 10);
      }),
      { seed: 16 },
    );
  });
});

describe('unitVector', () => {
  it('has length 1 and points the same way, from 1e-200 to 1e200 (seed 17)', () => {
    fc.assert(
      fc.property(direction, fc.integer({ min: -200, max: 200 }), (d, power) => {
        const found = unitVector(scale(d, 10 ** power));
        expect(length(found)).toBeCloseTo(1, 14);
        found.forEach((value, axis) => expect(value).toBeCloseTo(d[axis], 12));
      }),
      { seed: 17 },
    );
  });

  it('finds the direction of the smallest and the largest numbers there are', () => {
    expect(unitVector([0, 0, Number.MIN_VALUE])).toEqual([0, 0, 1]);
    const corner = unitVector([Number.MAX_VALUE, Number.MAX_VALUE, Number.MAX_VALUE]);
    corner.forEach((value) => expect(value).toBeCloseTo(1 / Math.sqrt(3), 15));
  });

  it('leaves an axis exact and takes typed arrays', () => {
    expect(unitVector([0, 0, 5])).toEqual([0, 0, 1]);
    expect(unitVector(Float32Array.of(0, -3, 0))).toEqual([0, -1, 0]);
  });

  it.each([
    [[0, 0, 0]],
    [[Number.NaN, 0, 1]],
    [[Infinity, 0, 1]],
    [[1, 2]],
    [[1, 2, 3, 4]],
    [['1', 0, 0]],
    [null],
    [undefined],
    ['z'],
  ])('refuses %j', (given) => {
    try {
      unitVector(given as unknown as number[], 'The cope’s draw');
    } catch (error) {
      expect(isOddsideError(error) && error.code).toBe('bad-direction');
      expect((error as Error).message).toMatch(/^The cope’s draw must be three finite numbers/);
      return;
    }
    expect.fail('nothing was thrown');
  });
});

describe('angleBetweenDeg', () => {
  it('is right at the known angles', () => {
    expect(angleBetweenDeg([1, 0, 0], [1, 0, 0])).toBe(0);
    expect(angleBetweenDeg([1, 0, 0], [0, 1, 0])).toBe(90);
    expect(angleBetweenDeg([1, 0, 0], [-1, 0, 0])).toBe(180);
  });

  it('keeps angles far below what an arc cosine can tell', () => {
    const tiny = 1e-9;
    expect(angleBetweenDeg([1, 0, 0], [1, tiny, 0]) / ((tiny * 180) / Math.PI)).toBeCloseTo(1, 12);
  });
});

describe('frameAcross', () => {
  it('completes any direction to a right-handed square frame (seed 18)', () => {
    fc.assert(
      fc.property(direction, (d) => {
        const { u, v } = frameAcross(d);
        for (const [a, b] of [
          [u, v],
          [u, d],
          [v, d],
        ] as const)
          expect(dot(a, b)).toBeCloseTo(0, 12);
        expect(length(u)).toBeCloseTo(1, 12);
        expect(length(v)).toBeCloseTo(1, 12);
        cross(u, v).forEach((value, axis) => expect(value).toBeCloseTo(d[axis], 12));
      }),
      { seed: 18 },
    );
  });

  it('uses the file’s own axes for an axis of the file', () => {
    const axes: Vec3[] = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [-1, 0, 0],
      [0, -1, 0],
      [0, 0, -1],
    ];
    for (const d of axes) {
      const { u, v } = frameAcross(d);
      for (const value of [...u, ...v]) expect([0, 1]).toContain(Math.abs(value));
    }
  });
});
