import { describe, expect, it } from 'vitest';
import { chooseCuts, cutLengthwise } from '../../packages/oddside/src/choose-cuts.js';
import { asPattern, boxesUnion, span } from '../helpers/shapes.js';

describe('where a laid pattern is cut', () => {
  it('is the middle where the middle is as good as any', () => {
    const block = asPattern(boxesUnion([span([-40, 40], [-20, 20], [-8, 5])]));
    expect(chooseCuts(block)).toEqual({ most: 0, trapped: 0 });
    expect(cutLengthwise(block, 0, 80)).not.toHaveProperty('across');
  });

  it('is where there is most metal, and where a flat joint traps most', () => {
    // A thin plate with a thick rib along one side and a shelf over the joint along the other.
    const part = asPattern(
      boxesUnion([
        span([-40, 40], [-30, 30], [-3, 3]),
        span([-40, 40], [18, 30], [-20, 3]),
        span([-40, 40], [-50, -30], [2, 12]),
      ]),
    );
    const { most, trapped } = chooseCuts(part);
    expect(most).toBeGreaterThan(17);
    expect(most).toBeLessThan(31);
    expect(trapped).toBeGreaterThan(-51);
    expect(trapped).toBeLessThan(-29);
    const { across, loops } = cutLengthwise(part, trapped, 80);
    expect(across).toBe(trapped);
    const zs = loops.flatMap(({ points }) => Array.from(points).filter((_, i) => i % 3 === 2));
    expect([Math.min(...zs), Math.max(...zs)]).toEqual([2, 12]);
  });
});
