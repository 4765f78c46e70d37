import { forEachStretch } from '@oddside/core';
import { describe, expect, it } from 'vitest';

describe('forEachStretch', () => {
  it.each([0, 1, 2047, 2048, 2049, 4096, 100_000])('goes over %i once, in order and in short stretches', (count) => {
    let next = 0;
    forEachStretch(count, (from, to) => {
      expect(from).toBe(next);
      expect(to).toBeGreaterThan(from);
      expect(to - from).toBeLessThanOrEqual(2048);
      next = to;
    });
    expect(next).toBe(count);
  });
});
