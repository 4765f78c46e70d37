import { describe, expect, it } from 'vitest';
import { assessDraw, castColumns, measureColumns, samplingError, sumColumns } from '@oddside/parting';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('samplingError', () => {
  it('a steep tent costs next to nothing: it grows as its width, not as its volume', () => {
    const tent = (reach: number): number => {
      const side = 81;
      const height = (i: number): number =>
        Math.max(0, reach - Math.max(Math.abs((i % side) - 40), Math.abs(Math.floor(i / side) - 40)));
      return samplingError(
        Float64Array.from({ length: side * side }, (_, i) => height(i)),
        side,
        side,
        1,
      );
    };
    // Slope 1 everywhere. Foot, ridge lines and top are kinks, longer in proportion to the width; the slopes cost nothing.
    expect(tent(30)).toBeLessThanOrEqual(2.5 * tent(15));
    expect(tent(30)).toBeLessThan(0.002 * (4 / 3) * 30 ** 3);
  });

  it('an edge along a row, or along a diagonal, is covered wherever it lies within its column', () => {
    // So many columns of height 1: the edge may lie anywhere within a column's width, all along its length.
    const rows = Float64Array.from({ length: 30 * 9 }, (_, i) => Number(i % 30 < 20 && i < 5 * 30));
    expect(samplingError(rows, 30, 9, 1)).toBeGreaterThan(20 / 2);
    const side = 60;
    const half = Float64Array.from({ length: side * side }, (_, i) => Number((i % side) + Math.floor(i / side) < side));
    expect(samplingError(half, side, side, 1)).toBeGreaterThan(side / 2);
  });

  it('scattered columns count as their squares: two standard errors of a random sum', () => {
    const random = s.seededRandom(4);
    const shares: number[] = [];
    for (let k = 0; k < 40; k++) {
      const values = Float64Array.from({ length: 90 * 70 }, () => Number(random() < 0.02));
      const found = samplingError(values, 90, 70, 3);
      shares.push(found / (3 * 2 * Math.sqrt(values.reduce((sum, value) => sum + value * value, 0))));
    }
    const mean = shares.reduce((sum, share) => sum + share, 0) / shares.length;
    expect(Math.abs(mean - 1)).toBeLessThan(0.15);
  });

  it('nothing has no error', () => {
    expect(samplingError(new Float64Array(12), 4, 3, 1)).toBe(0);
  });
});

/** Solids whose back draft along a draw is known: O9, O10, O16, O19–O23, O30, O31 of the oracles; t is a tangent. */
const share = (u: number): number => (u <= 0.5 ? 2 * u : 2 - 1 / (2 * u));
const KNOWN: readonly {
  readonly mesh: s.Mesh;
  readonly draw: ((t: number) => readonly number[]) | null;
  readonly heldMm3: (t: number) => number;
  readonly t: readonly [number, number];
}[] = [
  { mesh: s.uNotch(1), draw: (t) => [t, 0, 1], heldMm3: (t) => 1 - t / 2, t: [0.03, 0.95] },
  { mesh: s.uNotch(3), draw: (t) => [t, 0, 1], heldMm3: (t) => 3 - 1.5 * t, t: [0.03, 0.95] },
  {
    mesh: s.blockWithSquarePocket(3, 3, 1, 1, 2),
    draw: (t) => [t, 0, 1],
    heldMm3: (t) => (2 * t <= 1 ? 2 * t : 2 - 1 / (2 * t)),
    t: [0.03, 1.2],
  },
  { mesh: s.lippedChannel(1), draw: () => [0, 0, 1], heldMm3: () => 3, t: [0, 0] },
  { mesh: s.lippedChannel(1), draw: () => [1, 0, 0], heldMm3: () => 4.5, t: [0, 0] },
  { mesh: s.blockyMug(), draw: () => [0, 0, 1], heldMm3: () => 3, t: [0, 0] },
  { mesh: s.blockyMug(), draw: () => [1, 0, 0], heldMm3: () => 15, t: [0, 0] },
  { mesh: s.twoPocketCube(2), draw: (t) => [0, t, 1], heldMm3: (t) => share(t) + share(1 / t), t: [0.05, 5] },
  { mesh: s.hollowCube(), draw: null, heldMm3: () => 1, t: [0, 0] },
  { mesh: s.twoArms(1), draw: () => [1, 0, 0], heldMm3: () => 2, t: [0, 0] },
  { mesh: s.lBracket(1), draw: (t) => [1, 0, -t], heldMm3: (t) => 0.5 * Math.min(t, 1 / t), t: [0.05, 4] },
  { mesh: s.dovetail(1, 2, 1, 1), draw: () => [0, 0, 1], heldMm3: () => 0.5, t: [0, 0] },
  { mesh: s.plateWithSquareHole(4, 1, 0.8), draw: (t) => [t, 0, 1], heldMm3: (t) => 0.64 - 0.512 / t, t: [0.9, 4] },
];

describe('measureColumns', () => {
  it('the stated error covers 99 of 100, and is no idle talk: known solids turned at random, 16 to 1,024 columns (seed 31)', () => {
    const random = s.seededRandom(31);
    const shares: number[] = [];
    const columns = [16, 24, 32, 48, 64, 96, 128, 192, 256, 384, 512, 1024];
    for (let i = 0; i < 468; i++) {
      const { mesh, draw, heldMm3, t } = KNOWN[i % KNOWN.length];
      const tangent = t[0] + (t[1] - t[0]) * random();
      // Turning solid and draw together lays the grid at a random angle and phase.
      const { axis, deg } = s.randomRotation(3100 + i);
      const along = draw ? draw(tangent) : s.randomDirection(random);
      const arrow = { positions: Float64Array.from(along), triangles: new Uint32Array() };
      const [x, y, z] = s.rotate(arrow, axis, deg).positions;
      const found = measureColumns(
        castColumns(s.asPattern(s.rotate(mesh, axis, deg)), [x, y, z], columns[i % columns.length]),
      );
      shares.push(Math.abs(found.backDraftMm3 - heldMm3(tangent)) / found.backDraftErrorMm3);
    }
    shares.sort((a, b) => a - b);
    expect(shares.filter((value) => value > 1).length).toBeLessThanOrEqual(0.01 * shares.length);
    expect(1 / shares[shares.length >> 1]).toBeLessThan(9);
  });

  it('a pattern that draws has no back draft and no error, however it lies (seed 32)', () => {
    for (let i = 0; i < 12; i++) {
      const { axis, deg } = s.randomRotation(3200 + i);
      const tilted = s.rotate(s.box([0, 0, 0], [1, 2, 3]), axis, deg);
      const found = measureColumns(castColumns(s.asPattern(tilted), [0, 0, 1], 200));
      expect(found.backDraftMm3).toBeLessThan(1e-12);
      expect(found.backDraftErrorMm3).toBeLessThan(1e-12);
    }
  });

  it('the error of the shadow covers as well: boxes turned at random (seed 33)', () => {
    const shares: number[] = [];
    for (let i = 0; i < 200; i++) {
      const { axis, deg } = s.randomRotation(3300 + i);
      const turned = s.rotate(s.box([0, 0, 0], [1, 2, 3]), axis, deg);
      const [n, u, v] = [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ].map((p) => s.rotate({ positions: Float64Array.from(p), triangles: new Uint32Array() }, axis, deg).positions[2]);
      // Each pair of faces shows one: 2 × 3 across x, 1 × 3 across y, 1 × 2 across z.
      const shadow = 6 * Math.abs(n) + 3 * Math.abs(u) + 2 * Math.abs(v);
      const found = measureColumns(castColumns(s.asPattern(turned), [0, 0, 1], [24, 64, 160, 400][i % 4]));
      shares.push(Math.abs(found.shadowAreaMm2 - shadow) / found.shadowAreaErrorMm2);
    }
    expect(shares.filter((value) => value > 1).length).toBeLessThanOrEqual(2);
  });

  it('the stated error of the hare holds, and is no idle talk: against eight times as many columns', () => {
    const pattern = s.asPattern(bunnyMesh());
    const random = s.seededRandom(8);
    const shares: number[] = [];
    for (let i = 0; i < 12; i++) {
      const draw = s.randomDirection(random);
      const fine = sumColumns(castColumns(pattern, draw, 1024)).backDraftMm3;
      for (const columns of [96, 128]) {
        const found = assessDraw(pattern, draw, { columns });
        shares.push(Math.abs(found.backDraftMm3 - fine) / found.backDraftErrorMm3);
      }
    }
    shares.sort((a, b) => a - b);
    expect(shares[shares.length - 1]).toBeLessThan(1.5);
    expect(shares.filter((share) => share > 1).length).toBeLessThanOrEqual(2);
    expect(shares[shares.length >> 1]).toBeGreaterThan(0.15);
  });

  it('adds up: envelope = metal + back draft + unknown − overlap', () => {
    for (const mesh of [
      s.blockyMug(),
      s.merge(s.box(), s.translate(s.box(), [0.3, 0.2, 0.1])),
      s.keepTriangles(s.uNotch(), (t) => t !== 3),
    ]) {
      const m = measureColumns(castColumns(s.asPattern(mesh), [0.1, 0.2, 0.97], 80));
      expect(m.solidMm3 + m.backDraftMm3 + m.unknownMm3 - m.overlapMm3).toBeCloseTo(m.envelopeMm3, 9);
      expect(m.unbalancedColumns).toBeLessThanOrEqual(m.hitColumns);
    }
  });

  it('an empty shadow has nothing in it', () => {
    const sheet = { positions: Float64Array.of(0, 0, 0, 0, 0, 1, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) };
    expect(measureColumns(castColumns(s.asPattern(sheet), [0, 0, 1], 8))).toMatchObject({
      hitColumns: 0,
      envelopeMm3: 0,
      meanIntervals: 0,
      backDraftErrorMm3: 0,
    });
  });
});
