import { CompensatedSum } from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const sumOf = (terms: readonly number[]): number => {
  const sum = new CompensatedSum();
  for (const term of terms) sum.add(term);
  return sum.value;
};

describe('CompensatedSum', () => {
  it('starts at nothing', () => expect(new CompensatedSum().value).toBe(0));

  it('keeps small terms between large ones, in either order', () => {
    expect(sumOf([1, 1e100, 1, -1e100])).toBe(2);
    expect(sumOf([1e100, 1, -1e100, 1])).toBe(2);
  });

  it('adds a tenth a million times without drifting', () => {
    const terms = Array.from({ length: 1_000_000 }, () => 0.1);
    const plain = terms.reduce((a, b) => a + b, 0);
    expect(Math.abs(plain - 100_000)).toBeGreaterThan(1e-7);
    expect(Math.abs(sumOf(terms) - 100_000)).toBeLessThanOrEqual(1.5e-11);
  });

  it('agrees with exact integer arithmetic to the last bits (seed 14)', () => {
    const term = fc.tuple(fc.bigInt({ min: -(2n ** 52n), max: 2n ** 52n }), fc.constantFrom(0n, 30n, 60n));
    fc.assert(
      fc.property(fc.array(term, { minLength: 1, maxLength: 60 }), (given) => {
        const terms = given.map(([value, shift]) => value << shift);
        const exact = Number(terms.reduce((a, b) => a + b, 0n));
        const size = Number(terms.reduce((a, b) => a + (b < 0n ? -b : b), 0n));
        // Neumaier: one rounding of the result and a second-order term in the sum of sizes.
        const bound = Number.EPSILON * Math.abs(exact) + 60 * 60 * Number.EPSILON ** 2 * size;
        expect(Math.abs(sumOf(terms.map(Number)) - exact)).toBeLessThanOrEqual(bound);
      }),
      { seed: 14, numRuns: 400 },
    );
  });
});
