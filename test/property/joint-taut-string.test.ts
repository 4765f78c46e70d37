/** The taut string against every string that fits, on random corridors. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { pullTautLoop } from '../../packages/parting/src/pull-taut-string.js';

const corridor = fc
  .array(
    fc.record({
      step: fc.double({ min: 0.05, max: 3, noNaN: true }),
      low: fc.integer({ min: -50, max: 50 }),
      room: fc.integer({ min: 0, max: 60 }),
      share: fc.double({ min: 0, max: 1, noNaN: true }),
    }),
    { minLength: 3, maxLength: 40 },
  )
  .map((points) => {
    let at = 0;
    const along = Float64Array.from(points, ({ step }) => (at += step) - step);
    const low = Float64Array.from(points, (p) => p.low / 10);
    const high = Float64Array.from(points, (p) => (p.low + p.room) / 10);
    const other = Float64Array.from(points, (p) => (p.low + p.share * p.room) / 10);
    return { along, total: at, low, high, other };
  });

function lengthOf(along: Float64Array, total: number, heights: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < along.length; i++) {
    const j = (i + 1) % along.length;
    sum += Math.hypot((j === 0 ? total : along[j]) - along[i], heights[j] - heights[i]);
  }
  return sum;
}

const variation = (heights: Float64Array): number =>
  heights.reduce((sum, h, i) => sum + Math.abs(heights[(i + 1) % heights.length] - h), 0);

describe('the taut string', () => {
  it('stays in its corridor and is no longer, and climbs no more, than any other string in it', () => {
    fc.assert(
      fc.property(corridor, ({ along, total, low, high, other }) => {
        const taut = pullTautLoop(along, total, low, high, 0);
        for (let i = 0; i < taut.length; i++) {
          expect(taut[i]).toBeGreaterThanOrEqual(low[i] - 1e-9);
          expect(taut[i]).toBeLessThanOrEqual(high[i] + 1e-9);
        }
        expect(lengthOf(along, total, taut)).toBeLessThanOrEqual(lengthOf(along, total, other) + 1e-9);
        expect(variation(taut)).toBeLessThanOrEqual(variation(other) + 1e-9);
        // Half-way towards any other string is a string too: shortening there would show that ours was not taut.
        const mixed = taut.map((h, i) => h + 0.01 * (other[i] - h));
        expect(lengthOf(along, total, taut)).toBeLessThanOrEqual(lengthOf(along, total, mixed) + 1e-9);
      }),
      { seed: 20, numRuns: 400 },
    );
  });

  it('does not depend on where the loop is opened, nor on which way is up', () => {
    fc.assert(
      fc.property(corridor, fc.nat(39), ({ along, total, low, high }, start) => {
        const n = along.length;
        const from = start % n;
        const turn = (list: Float64Array): Float64Array => Float64Array.from(list, (_, i) => list[(i + from) % n]);
        const turnedAlong = Float64Array.from(
          along,
          (_, i) => along[(i + from) % n] - along[from] + (i + from >= n ? total : 0),
        );
        const taut = pullTautLoop(along, total, low, high, 0.3);
        const turned = pullTautLoop(turnedAlong, total, turn(low), turn(high), 0.3);
        turn(taut).forEach((h, i) => expect(turned[i]).toBeCloseTo(h, 8));
        const upsideDown = pullTautLoop(
          along,
          total,
          high.map((h) => -h),
          low.map((h) => -h),
          -0.3,
        );
        upsideDown.forEach((h, i) => expect(-h).toBeCloseTo(taut[i], 8));
      }),
      { seed: 21, numRuns: 200 },
    );
  });
});
