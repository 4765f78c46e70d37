/**
 * What a flat joint at height h traps, T(h), against closed forms derived in the theory of two-part moulds (by hand, no
 * outside source), and the best height with its whole range. Polygons are allowed for in each row.
 */
import { describe, expect, it } from 'vitest';
import { assess, trappedAt } from './cast-oracle.js';
import * as s from '../helpers/shapes.js';

const PI = Math.PI;
const Z = [0, 0, 1] as const;
const X = [1, 0, 0] as const;

/** Area of an inscribed n-gon over that of its circle. */
const ngon = (n: number): number => (n * Math.sin((2 * PI) / n)) / (2 * PI);
const bowl = (r: number, h: number): number => 2 * h * r - h * Math.sqrt(r * r - h * h) - r * r * Math.asin(h / r);
const inward = (r0: number, m: number, h: number): number => PI * m * h * h * (r0 - (m * h) / 3);

/** Name, solid, draw, T(h), heights to try, allowance for sampling and polygon as a share of the solid's volume. */
type Row = readonly [string, s.Mesh, readonly number[], (h: number) => number, readonly number[], number];

const rows: readonly Row[] = [
  ['O1 cube', s.box(), Z, (h) => Math.max(0, -h, h - 1), [-0.5, 0, 0.3, 1, 1.7], 5e-3],
  ['O2 tetrahedron', s.tetrahedron(), Z, (h) => (h === 0 ? 2 / 3 : NaN), [0], 1e-4],
  [
    'O3 ball',
    s.sphere(1, 5),
    Z,
    (h) => (Math.abs(h) <= 1 ? (PI * Math.abs(h) ** 3) / 3 : PI * Math.abs(h) - (2 * PI) / 3),
    [0, 0.3, -0.7, 1, 1.5],
    2e-3,
  ],
  [
    'O4 ellipsoid',
    s.scale(s.sphere(1, 5), [3, 2, 0.5]),
    Z,
    (h) => (PI * 6 * Math.abs(h) ** 3) / 0.75,
    [0, 0.2, -0.4],
    2e-3,
  ],
  ['O5 ring on its axis', s.torus(1, 0.4, 256, 128), Z, (h) => 2 * PI * bowl(0.4, h), [0, 0.1, 0.3, 0.4], 2e-3],
  ['O13 frustum', s.frustum(2, 1.4, 3, 96), Z, (h) => ngon(96) * inward(2, 0.2, h), [0, 1, 2, 3], 2e-3],
  ['O25 lying cylinder', s.rotate(s.cylinder(1, 3, 256), [0, 1, 0], 90), Z, (h) => 3 * bowl(1, h), [0, 0.4, 0.9], 2e-3],
  ['O18 pinned stairs', s.pinnedStairs(), Z, (h) => (h === 1.2 ? 8.6 : 5), [2, 2.5, 3, 1.2], 2e-3],
];

describe('what a flat joint traps equals its closed form', () => {
  it.each(rows)('%s', (_name, mesh, draw, exact, heights, share) => {
    const trapped = trappedAt(mesh, draw, 512);
    for (const h of heights) {
      expect(Math.abs(trapped(h) - exact(h)), `at ${h}`).toBeLessThan(share * s.volumeOf(mesh));
    }
  });
});

describe('the best flat joint', () => {
  it('O1 a cube may be parted at any height; the joint goes to its top', () => {
    const { flat, copeDepth, dragDepth } = assess(s.box(), Z);
    expect(flat.low).toBeCloseTo(0, 9);
    expect(flat.high).toBeCloseTo(1, 9);
    expect(flat.height).toBeCloseTo(1, 9);
    expect(flat.misfitMm3).toBeLessThan(1e-12);
    expect([copeDepth, dragDepth]).toEqual([expect.closeTo(0, 9), expect.closeTo(1, 9)]);
  });

  it('O1 a cube on its corner parts through its middle and traps 1/24', () => {
    const found = assess(s.box(), [1, 1, 1], 512);
    expect(found.flat.height).toBeCloseTo(Math.sqrt(3) / 2, 2);
    expect(found.flat.misfitMm3).toBeCloseTo(1 / 24, 4);
    expect(found.shadowAreaMm2).toBeCloseTo(Math.sqrt(3), 2);
    expect(Math.abs(found.shadowAreaMm2 - Math.sqrt(3))).toBeLessThan(found.shadowAreaErrorMm2);
  });

  it('O2 a tetrahedron on edge traps 2/3 at its middle', () => {
    const { flat } = assess(s.tetrahedron(), Z, 512);
    expect(flat.height).toBeCloseTo(0, 2);
    expect(flat.misfitMm3).toBeCloseTo(2 / 3, 3);
  });

  it('O4 an ellipsoid drawn aslant parts square to the draw at its centre', () => {
    // T = (4/3)(shadow / π) µ (tan q − q), tan q = λ/µ; µ the half chord along the draw, λ the greatest height of the
    // plane of its true parting line over the shadow.
    const half = [3, 2, 1] as const;
    const mesh = s.translate(s.scale(s.sphere(1, 6), half), [5, -7, 11]);
    for (const draw of [
      [0.6, 0, 0.8],
      [1 / 3, 2 / 3, 2 / 3],
    ]) {
      const pulled = draw.map((c, i) => c / half[i] ** 2);
      const square = draw.reduce((sum, c, i) => sum + c * pulled[i], 0);
      const mu = 1 / Math.sqrt(square);
      const shadow = PI * 6 * Math.sqrt(square);
      const along = draw.reduce((sum, c, i) => sum + (c * pulled[i]) / square, 0);
      const lambda = Math.hypot(...draw.map((c, i) => (pulled[i] / square - along * c) * half[i]));
      const q = Math.atan(lambda / mu);
      const exact = (4 / 3) * (shadow / PI) * mu * (lambda / mu - q);
      const found = assess(mesh, draw, 512);
      expect(found.flat.misfitMm3 / exact).toBeCloseTo(1, 2);
      expect(found.flat.height).toBeCloseTo(5 * draw[0] - 7 * draw[1] + 11 * draw[2], 1);
    }
  });

  it('O13 a frustum parts at its foot, whichever way up it is', () => {
    const mesh = s.frustum(2, 1.4, 3, 96);
    const up = assess(mesh, Z);
    expect(up.flat.height).toBeCloseTo(0, 9);
    expect(up.copeDepth).toBeCloseTo(3, 9);
    const down = assess(mesh, [0, 0, -1]);
    expect(down.flat.height).toBeCloseTo(0, 9);
    expect(down.dragDepth).toBeCloseTo(3, 9);
    expect(down.copeDepth).toBeCloseTo(0, 9);
  });

  it('O18 pinned stairs trap 5 at any height from 2 to 3', () => {
    const { flat, backDraftMm3 } = assess(s.pinnedStairs(), Z, 512);
    expect(backDraftMm3).toBeLessThan(1e-9);
    expect(flat.low).toBeCloseTo(2, 9);
    expect(flat.high).toBeCloseTo(3, 9);
    expect(flat.misfitMm3).toBeCloseTo(5, 1);
  });

  it('O15 a pulley lying on its side parts through its axis and traps nothing', () => {
    const { flat, backDraftMm3 } = assess(s.pulley(3, 2, 1.5), X);
    expect(backDraftMm3).toBe(0);
    expect(flat.misfitMm3).toBeLessThan(1e-9 * 80);
    expect(flat.height).toBeCloseTo(0, 2);
  });

  it('no height of a flat joint traps less than the best, nor less than the back draft', () => {
    for (const mesh of [s.blockyMug(), s.lippedChannel(), s.pinnedStairs(), s.torus(1, 0.4)]) {
      const draw = [0.3, 0.4, 0.7];
      const trapped = trappedAt(mesh, draw, 128);
      const found = assess(mesh, draw, 128);
      const least = found.backDraftMm3 + found.flat.misfitMm3;
      expect(trapped(found.flat.height)).toBeCloseTo(least, 9);
      for (let h = -8; h < 8; h += 0.05) expect(trapped(h)).toBeGreaterThanOrEqual(least - 1e-9);
      for (const h of [found.flat.low, found.flat.high]) expect(trapped(h)).toBeCloseTo(least, 9);
    }
  });
});
