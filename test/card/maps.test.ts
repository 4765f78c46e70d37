import { draftMap, lookAlong } from '@oddside/card';
import { isOddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import { heightBands, HEIGHT_TONES } from '../../packages/card/src/height-map.js';

/** Relative luminance, WCAG 2 (sRGB). */
const luminance = (rgb: readonly number[]): number => {
  const [r, g, b] = rgb.map((part) => (part <= 10 ? part / 3294.6 : ((part / 255 + 0.055) / 1.055) ** 2.4));
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
};

describe('draftMap', () => {
  const { palette, toneAt } = draftMap(2);
  const toneOf = (draftDeg: number, turnDeg = 0): number => {
    const [d, t] = [draftDeg, turnDeg].map((deg) => (deg * Math.PI) / 180);
    return toneAt(0, 0, 0, Math.cos(d) * Math.cos(t), Math.cos(d) * Math.sin(t), Math.sin(d), 0);
  };

  it('tells the step by the angle alone, both ways up', () => {
    for (const [deg, tone] of [
      [0, 4],
      [0.4, 4],
      [0.6, 3],
      [1.2, 2],
      [1.7, 1],
      [1.99, 1],
      [2.01, 0],
      [45, 0],
      [90, 0],
    ]) {
      for (const turn of [0, 40, 200]) {
        expect(toneOf(deg, turn), `${deg}°`).toBe(tone);
        expect(toneOf(-deg, turn), `−${deg}°`).toBe(tone);
      }
    }
  });

  it('grows darker by clear steps, so that a grey print reads the same', () => {
    const steps = palette.slice(0, 5).map(({ rgb }) => luminance(rgb));
    for (let i = 1; i < steps.length; i++) expect((steps[i - 1] + 0.05) / (steps[i] + 0.05)).toBeGreaterThan(1.3);
  });

  it('marks what is held whatever its draft', () => {
    const map = draftMap(3, (x) => x > 0);
    expect(map.palette[map.toneAt(1, 0, 0, 0, 0, 1, 0)].hatch).toBe('x');
    expect(map.toneAt(-1, 0, 0, 0, 0, 1, 0)).toBe(0);
  });

  it.each([0, -1, 46, NaN])('refuses %s degrees', (deg) => {
    let code = '';
    try {
      draftMap(deg);
    } catch (error) {
      if (isOddsideError(error)) code = error.code;
    }
    expect(code).toBe('bad-number');
  });
});

describe('heightBands', () => {
  it('splits each half in thirds of its own depth', () => {
    expect([...heightBands([-30, -19, -9, -1, 0, 4, 9, 12])]).toEqual([0, 1, 2, 2, 3, 4, 5, 5]);
    expect([...heightBands([0, 0])]).toEqual([3, 3]);
    expect(HEIGHT_TONES).toHaveLength(6);
  });
});

describe('lookAlong', () => {
  it.each([[[0, 0, 1]], [[1, 0, 0]], [[-1, 2, 3]], [[0, -4, 0]]] as const)('keeps the draw %j upright', (draw) => {
    const { look, up } = lookAlong(draw);
    const size = Math.hypot(...draw);
    for (const [k, part] of draw.entries()) expect(up[k]).toBeCloseTo(part / size, 12);
    // Seen from above, and always from the same slope.
    const along = look.reduce((sum, part, k) => sum + part * up[k], 0);
    expect(along / Math.hypot(...look)).toBeCloseTo(-0.46 / Math.hypot(0.42, 0.78, 0.46), 9);
  });
});
