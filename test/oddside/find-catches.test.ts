import { castColumns } from '@oddside/parting';
import { describe, expect, it } from 'vitest';
import { findCatches } from '../../packages/oddside/src/find-catches.js';
import { asPattern, boxesUnion, span, sphere, type Mesh } from '../helpers/shapes.js';

const along = (mesh: Mesh, joint: number): ReturnType<typeof findCatches> => {
  const pattern = asPattern(mesh);
  return findCatches(pattern, castColumns(pattern, [0, 0, 1], 256), joint);
};
const free = { areaMm2: 0, sandMm3: 0, at: null };

describe('what catches when the halves are moved', () => {
  /** A T that stands on its stem: bar 60 × 20 × 10 from 40 to 50, stem 12 × 20 up to it. */
  const tee = boxesUnion([span([-6, 6], [0, 20], [0, 40]), span([-30, 30], [0, 20], [40, 50])]);
  const wings = (60 - 12) * 20;

  it('is nothing for a T parted under its bar', () => {
    const { cope, pattern } = along(tee, 40);
    expect([cope.flat, cope.followed, pattern.flat, pattern.followed]).toEqual([free, free, free, free]);
  });

  it('is the sand between a flat joint and the bar, until the joint is coped down', () => {
    const { cope, pattern } = along(tee, 25);
    expect(cope.flat.areaMm2 / wings).toBeCloseTo(1, 1);
    expect(cope.flat.sandMm3 / (wings * 15)).toBeCloseTo(1, 1);
    expect(cope.flat.at![2]).toBeCloseTo(40, 9);
    expect(Math.abs(cope.flat.at![0])).toBeGreaterThan(6);
    expect(cope.followed).toEqual(free);
    expect(pattern.flat).toEqual(free);
    // Over the bar it is the drag's sand that lies on the pattern.
    const over = along(tee, 53);
    expect(over.pattern.flat.sandMm3 / (60 * 20 * 3)).toBeCloseTo(1, 1);
    expect(over.pattern.flat.at![2]).toBeCloseTo(50, 9);
    expect(over.pattern.followed).toEqual(free);
  });

  it('is shared by the joint where sand is held between two flanges, whatever is dug', () => {
    const spool = boxesUnion([
      span([-30, 30], [0, 20], [0, 10]),
      span([-6, 6], [0, 20], [10, 30]),
      span([-30, 30], [0, 20], [30, 40]),
    ]);
    const { cope, pattern } = along(spool, 18);
    for (const kind of ['flat', 'followed'] as const) {
      expect(cope[kind].sandMm3 / (wings * 12)).toBeCloseTo(1, 1);
      expect(pattern[kind].sandMm3 / (wings * 8)).toBeCloseTo(1, 1);
      expect(cope[kind].at![2]).toBeCloseTo(30, 9);
      expect(pattern[kind].at![2]).toBeCloseTo(10, 9);
    }
  });

  it('is nothing for a ball parted in the middle', () => {
    const { cope, pattern } = along(sphere(20, 4), 0);
    expect(cope.followed).toEqual(free);
    expect(pattern.followed).toEqual(free);
    expect(cope.flat.sandMm3 + pattern.flat.sandMm3).toBeLessThan(0.002 * ((4 / 3) * Math.PI * 20 ** 3));
  });
});
