import { describe, expect, it } from 'vitest';
import { assessDraw, castColumns, measureColumns, samplingError, sumColumns } from '@oddside/parting';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('samplingError', () => {
  it('a slope across the whole grid costs only its ends', () => {
    const slope = Float64Array.from({ length: 50 }, (_, i) => i + 1);
    // Second differences: 1 before the first value, 51 and 50 where it falls to nothing, 0 on the slope;
    // across the single row each value v stands alone: v, 2v, v.
    expect(samplingError(slope, 50, 1, 1)).toBeCloseTo(
      2 * Math.sqrt((1 + 51 ** 2 + 50 ** 2 + slope.reduce((sum, v) => sum + 6 * v * v, 0)) / 24),
      9,
    );
  });

  it('a single column of height 1 counts its square on every side', () => {
    const values = new Float64Array(25);
    values[12] = 1;
    expect(samplingError(values, 5, 5, 3)).toBeCloseTo(2 * 3 * Math.sqrt(12 / 24), 12);
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
