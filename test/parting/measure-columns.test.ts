import { describe, expect, it } from 'vitest';
import { assessDraw, castColumns, measureColumns, samplingError, sumColumns } from '@oddside/parting';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('samplingError', () => {
  it('a steep tent costs only its kinks: twice as wide, no more than twice as much', () => {
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
    expect(tent(30)).toBeLessThanOrEqual(2 * tent(15) + 1e-9);
    expect(tent(30)).toBeLessThan(0.002 * (4 / 3) * 30 ** 3);
  });

  it('an edge along a row is told by leaving out every other row', () => {
    // 20 columns of height 1 in each of 5 rows: the edge may lie anywhere within a column's width, 20 columns long.
    const block = Float64Array.from({ length: 30 * 9 }, (_, i) => Number(i % 30 < 20 && i < 5 * 30));
    expect(samplingError(block, 30, 9, 1)).toBeGreaterThan(20 / 3);
  });

  it('a single column of height 1 counts its square on every side', () => {
    const values = new Float64Array(25);
    values[12] = 1;
    expect(samplingError(values, 5, 5, 3)).toBeCloseTo(3 * Math.max(2 * Math.sqrt(12 / 24), 4 / 3), 12);
  });

  it('nothing has no error', () => {
    expect(samplingError(new Float64Array(12), 4, 3, 1)).toBe(0);
  });
});

describe('measureColumns', () => {
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
