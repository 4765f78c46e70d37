/** Different patterns in one flask: lay-outs known by hand, proofs of misfit, and lay-outs checked by brute force. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { fitFlask, type FlaskSize } from '../../packages/parting/src/fit-flask.js';
import type { PatternToLay, SharedFlask } from '../../packages/parting/src/flask-share.js';
import { shareFlask } from '../../packages/parting/src/share-flask.js';
import { asPattern, box, cylinder, rotate } from '../helpers/shapes.js';
import { checkLayout } from '../helpers/flask-layout.js';

const UP: Vec3 = [0, 0, 1];
const flask = (name: string, length: number, width: number, copeDepth = 100, dragDepth = 100): FlaskSize => ({
  name,
  length,
  width,
  copeDepth,
  dragDepth,
});
const bare = { wallMargin: 0, aboveMargin: 0, belowMargin: 0, betweenMargin: 0, sprueRoom: 0 };
const slab = (name: string, length: number, width: number, copies = 1): PatternToLay => ({
  name,
  pattern: asPattern(box([0, 0, 0], [length, width, 10])),
  direction: UP,
  joint: 0,
  copies,
});
const disc = (name: string, radius: number, copies = 1): PatternToLay => ({
  name,
  pattern: asPattern(cylinder(radius, 10, 360)),
  direction: UP,
  joint: 0,
  copies,
});
const holds = async (parts: readonly PatternToLay[], length: number, width: number, options: object = bare) => {
  const found = await shareFlask(parts, [flask('only', length, width)], options);
  if (found.best) checkLayout(parts, found.best, { ...bare, ...options });
  return found;
};

describe('shareFlask', () => {
  it('tiles 100 × 60 with 60 × 60, 40 × 40 and 40 × 20, and nothing smaller takes them', async () => {
    const parts = [slab('plate', 60, 60), slab('foot', 40, 40), slab('bar', 40, 20)];
    const { best, needed } = await holds(parts, 100, 60);
    expect(best).not.toBeNull();
    expect(best!.spare.length).toBeCloseTo(0, 6);
    expect(needed.length * needed.width).toBeCloseTo(6000, 3);
    const small = await holds(parts, 100, 59.9);
    expect(small.misfits[0]).toMatchObject({ proved: true });
  });

  it('leaves the sand between, to the wall and for the sprue: 2 × 20 + 100 + 30 + 50 + 60 by 2 × 20 + 80', async () => {
    const margins = { ...bare, wallMargin: 20, betweenMargin: 30, sprueRoom: 60 };
    const parts = [slab('name plate', 100, 80), slab('bracket', 50, 80)];
    const { best } = await holds(parts, 280.001, 120.001, margins);
    expect(best!.laid.map((one) => one.part)).toEqual([0, 1]);
    expect((await holds(parts, 279.9, 120.001, margins)).best).toBeNull();
    expect((await holds(parts, 280.001, 119.9, margins)).best).toBeNull();
  });

  it('sets two discs across the corners of a square of side r₁ + r₂ + (r₁ + r₂ + m) / √2', async () => {
    for (const [a, b, margin] of [
      [50, 50, 0],
      [60, 30, 20],
    ] as const) {
      const side = a + b + (a + b + margin) / Math.SQRT2;
      const options = { ...bare, betweenMargin: margin };
      const parts = [disc('large', a), disc('small', b)];
      // The outline laid has 80 corners, and the margin's 32 sides lie outside its circle: under 0.3 %.
      expect((await holds(parts, side * 1.003, side * 1.003, options)).best, `${a} ${b}`).not.toBeNull();
      expect((await holds(parts, side * 0.995, side * 0.995, options)).best).toBeNull();
    }
  });

  // The least squares for equal discs of radius 1 are proved for these counts (J. Schaer, 1965, and others; from memory).
  it.each([
    [3, 2 + Math.SQRT2 / 2 + Math.sqrt(6) / 2],
    [4, 4],
    [5, 2 + 2 * Math.SQRT2],
  ])('lays %i equal discs in a square within half a per cent of the least', async (copies, side) => {
    const parts = [disc('foot', 50, copies)];
    expect((await holds(parts, 50 * side * 1.005, 50 * side * 1.005)).best).not.toBeNull();
    expect((await holds(parts, 50 * side * 0.995, 50 * side * 0.995)).best).toBeNull();
  });

  it('turns a pattern that lies askew, and one that is longer than the flask is wide', async () => {
    const askew: PatternToLay = {
      name: 'cleat',
      pattern: asPattern(rotate(box([0, 0, 0], [100, 40, 20]), UP, 33.3)),
      direction: UP,
      joint: 0,
    };
    const { best } = await holds([askew, slab('bar', 40, 100)], 100.001, 80.001);
    expect(best).not.toBeNull();
  });

  it('lets all joints lie in one plane: the deepest on each side sets the depth', async () => {
    const low: PatternToLay = { ...slab('low', 30, 30), joint: 10 };
    const tall: PatternToLay = { pattern: asPattern(box([0, 0, 5], [20, 20, 75])), direction: [0, 0, -1], joint: -60 };
    const margins = { ...bare, aboveMargin: 40, belowMargin: 30 };
    const { needed, misfits } = await shareFlask(
      [low, tall],
      [
        flask('shallow cope', 200, 200, 94, 60),
        flask('shallow drag', 200, 200, 95, 44),
        flask('deep', 200, 200, 95, 45),
      ],
      margins,
    );
    // Upside down, the tall one has 55 mm above a joint at its height 60 and 15 mm below; the low one 0 and 10.
    expect(needed).toMatchObject({ copeDepth: 95, dragDepth: 45 });
    expect(misfits.map((misfit) => misfit.reason)).toEqual([
      'The cope is 94 mm deep and must be 95 mm.',
      'The drag is 44 mm deep and must be 45 mm.',
    ]);
  });

  it('names what stays out, and says whether that is proved', async () => {
    const narrow = await holds([slab('bar', 300, 20), slab('wheel', 90, 90)], 400, 80);
    expect(narrow.misfits[0]).toMatchObject({ proved: true, left: [1] });
    expect(narrow.misfits[0]!.reason).toMatch(/wheel is 90 mm across/);
    const crowded = await holds([slab('foot', 50, 50, 3), slab('bar', 70, 10)], 100, 105);
    expect(crowded.misfits[0]).toMatchObject({ proved: false });
    expect(crowded.misfits[0]!.reason).toMatch(/tries at most \d of 4 patterns went in; left out: /);
  });

  it('lays one pattern wherever rows do, and takes the smallest flask', async () => {
    const flasks = [flask('large', 500, 400), flask('just', 364, 184), flask('small', 300, 150)];
    const part = slab('fairlead', 67, 52, 6);
    const rows = fitFlask(part.pattern, UP, 0, flasks, { copies: 6 });
    const found = await shareFlask([part], flasks);
    expect(rows.best).not.toBeNull();
    expect(found.best!.flask).toBe(rows.best!.flask);
    expect(found.best!.laid).toHaveLength(6);
    checkLayout([part], found.best!, { wallMargin: 40, betweenMargin: 30, sprueRoom: 50 });
    expect(found.needed.length * found.needed.width).toBeLessThanOrEqual(rows.needed.length * rows.needed.width + 1e-6);
  });

  it('gives the same lay-out every time, reports progress and stops', async () => {
    const parts = [slab('a', 70, 30, 3), disc('b', 25, 3), slab('c', 20, 90, 2)];
    const seen: number[] = [];
    const run = async (): Promise<SharedFlask | null> =>
      (await shareFlask(parts, [flask('f', 260, 200)], { ...bare, betweenMargin: 8, onProgress: (f) => seen.push(f) }))
        .best;
    const first = await run();
    expect(first).not.toBeNull();
    expect(seen.at(-1)).toBe(1);
    expect(seen.filter((fraction) => fraction === 1)).toHaveLength(1);
    expect(await run()).toEqual(first);
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(shareFlask(parts, [flask('f', 1, 1)], { signal: stop.signal })).rejects.toThrow('enough');
  });

  it('refuses nonsense', async () => {
    await expect(shareFlask([], [flask('f', 1, 1)])).rejects.toThrow(/at least one/);
    await expect(shareFlask([slab('a', 1, 1)], [])).rejects.toThrow(/at least one flask/);
    await expect(shareFlask([slab('a', 1, 1, 0)], [flask('f', 1, 1)])).rejects.toThrow(/copies of part 0/);
    await expect(shareFlask([slab('a', 1, 1)], [flask('f', 1, 1)], { sprue: 1 } as object)).rejects.toThrow(/"sprue"/);
  });
});
