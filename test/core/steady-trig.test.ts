import { steadyCosine, steadySine } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import { seededRandom } from '../helpers/shapes.js';

describe('steady sine and cosine', () => {
  it('agree with the engine’s own to the last places, from −π to π (seed 8)', () => {
    const random = seededRandom(8);
    for (let i = 0; i < 20_000; i++) {
      const angle = (2 * random() - 1) * Math.PI;
      expect(Math.abs(steadySine(angle) - Math.sin(angle))).toBeLessThanOrEqual(2.3e-16);
      expect(Math.abs(steadyCosine(angle) - Math.cos(angle))).toBeLessThanOrEqual(2.3e-16);
      if (Math.abs(angle) > Math.PI / 2) continue;
      expect(Math.abs(steadySine(angle) / Math.sin(angle) - 1)).toBeLessThanOrEqual(2 * 2 ** -52);
    }
  });

  it('hit the plain angles', () => {
    expect(steadySine(0)).toBe(0);
    expect(steadyCosine(0)).toBe(1);
    expect(steadySine(Math.PI / 2)).toBe(1);
    expect(steadySine(-Math.PI / 2)).toBe(-1);
    expect(steadySine(Math.PI / 6)).toBeCloseTo(0.5, 15);
    expect(steadyCosine(-Math.PI / 3)).toBeCloseTo(0.5, 15);
    expect(steadySine(Math.PI)).toBe(0);
    expect(steadyCosine(Math.PI)).toBe(-1);
  });
});
