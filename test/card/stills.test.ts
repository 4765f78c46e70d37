import { draftMap, renderView, TONE, type RenderViewOptions, type ViewPixels } from '@oddside/card';
import type { Vec3 } from '@oddside/core';
import { castColumns, classifySurface, sectionAtHeight } from '@oddside/parting';
import { decodePattern, type Pattern } from '@oddside/pattern';
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { heightBands, HEIGHT_TONES } from '../../packages/card/src/height-map.js';
import { toneOfClass } from '../../packages/oddside/src/tone-of-class.js';
import { asPattern, frustum, sphere, torus } from '../helpers/shapes.js';
import { compareStills, judgeStill } from './compare-stills.js';
import { bracket } from './sample-job.js';

const hare = decodePattern(readFileSync(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url)), {
  unit: 'mm',
});
const take = (pattern: Pattern, options: Partial<RenderViewOptions> = {}): ViewPixels =>
  renderView(pattern, { longestPx: 160, ...options });

/** Triangles in the tones of the half they leave with, and the joint drawn over them. */
function halves(pattern: Pattern, draw: Vec3, jointHeight: number, look: Vec3): Partial<RenderViewOptions> {
  const { codes } = classifySurface(pattern, castColumns(pattern, draw, 256), { jointHeight });
  const lines = sectionAtHeight(pattern, draw, jointHeight).loops.map(({ points }) => ({
    points: [...points, points[0], points[1], points[2]],
    rgb: [22, 24, 29] as const,
    widthPx: 2,
  }));
  const up: Vec3 = [0, 0, 1];
  return { look, up, lines, toneAt: (_x, _y, _z, _nx, _ny, _nz, t) => toneOfClass(codes[t]) };
}

function heights(pattern: Pattern): Partial<RenderViewOptions> {
  const { positions, triangles } = pattern;
  const middles = Float64Array.from({ length: triangles.length / 3 }, (_, t) =>
    [0, 1, 2].reduce((sum, k) => sum + positions[triangles[t * 3 + k] * 3 + 2] / 3, 0),
  );
  const bands = heightBands(middles);
  return { palette: HEIGHT_TONES, toneAt: (_x, _y, _z, _nx, _ny, _nz, t) => bands[t] };
}

const ball = asPattern(sphere(20, 5));
const ring = asPattern(torus(30, 10, 96, 48));
const lamp = asPattern(bracket());
const { palette, toneAt } = draftMap(5);

/** Each still that is kept, with what it is the only one to show. */
const STILLS: Readonly<Record<string, () => ViewPixels>> = {
  'hare-shaded': () => take(hare, { look: [0.45, 0.75, -0.62] }),
  'hare-halves': () => take(hare, halves(hare, [0, -1, 0], -10, [-0.42, 0.78, -0.46])),
  'hare-draft': () => take(hare, { look: [-0.6, 0.2, -0.7], palette, toneAt }),
  'bracket-held': () => take(lamp, halves(lamp, [0, 0, 1], 8, [-0.42, 0.78, 0.46])),
  'ring-heights': () => take(ring, { ...heights(ring), look: [0, 0.8, -0.6] }),
  'cone-draft': () => take(asPattern(frustum(30, 28, 40, 96)), { palette, toneAt, look: [0.3, 0.8, -0.4] }),
  'ball-line': () =>
    take(ball, {
      rim: 0.2,
      lines: [
        // Round the ball and a little outside it: its far side must be hidden.
        {
          points: Array.from({ length: 97 }, (_, i) => (Math.PI * i) / 48).flatMap((a) => [
            26 * Math.cos(a),
            26 * Math.sin(a),
            4 * Math.cos(a),
          ]),
          rgb: [96, 24, 66],
          widthPx: 3,
        },
      ],
    }),
};

describe('stills', () => {
  it.each(Object.keys(STILLS))('%s looks as it did', (name) => {
    expect(judgeStill(name, STILLS[name]())).toBe('');
  });

  it('are few and small', () => {
    const folder = new URL('stills/', import.meta.url);
    const files = readdirSync(folder);
    expect(files.sort()).toEqual(
      Object.keys(STILLS)
        .map((name) => `${name}.png`)
        .sort(),
    );
    const bytes = files.reduce((sum, file) => sum + statSync(new URL(file, folder)).size, 0);
    expect(bytes).toBeLessThan(150_000);
  });
});

describe('the comparison', () => {
  const plain = take(hare);
  const over = (other: ViewPixels): number => {
    const { overWhole, overSquare } = compareStills(other, plain);
    return Math.max(overWhole, overSquare);
  };

  it('takes no notice of what an eye does not see', () => {
    expect(over(plain)).toBe(0);
    const rounded = { ...plain, rgba: plain.rgba.map((value, i) => (i % 4 < 3 ? (value & ~3) + 1 : value)) };
    expect(over(rounded)).toBe(0);
    expect(over(take(hare, { look: [0.4505, 0.75, -0.62] }))).toBeLessThan(1);
  });

  it('sees another tone, a patch of it, a missing line, a turn of two degrees, another size', () => {
    expect(over(take(hare, { toneAt: () => TONE.drag }))).toBeGreaterThan(10);
    const patch = take(hare, { toneAt: (x) => (Math.abs(x) < 3 ? TONE.dig : TONE.plain) });
    expect(compareStills(patch, plain).overSquare).toBeGreaterThan(1);
    const line = { points: [-30, -60, 40, 30, -60, 60], rgb: [22, 24, 29], widthPx: 3 } as const;
    expect(over(take(hare, { lines: [line] }))).toBeGreaterThan(1);
    expect(over(take(hare, { look: [0.48, 0.74, -0.6] }))).toBeGreaterThan(1);
    expect(compareStills(take(hare, { longestPx: 161 }), plain).reason).toMatch(/pixels came/);
  });
});
