import { inches } from '@oddside/core';
import { castingFromPattern, contractionFromTestBar, patternFromCasting } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const pattern = (size: number, contraction: number, basis: 'casting' | 'pattern' = 'casting'): number =>
  patternFromCasting({ contraction, basis, sizes: [size] }).patternSizes[0]!.value;

describe('patternFromCasting', () => {
  it('7.5 in at 3/16 in/ft is 7.617 in (method seen on a hobby list, which rounds to 7.613)', () => {
    expect(pattern(inches(7.5), 3 / 16 / 12) / 25.4).toBeCloseTo(7.617, 3);
  });

  it('tells the two definitions apart (derived)', () => {
    expect(pattern(300, 0.015625)).toBeCloseTo(304.688, 3);
    expect(pattern(300, 0.015625, 'pattern')).toBeCloseTo(304.762, 3);
    expect(pattern(600, 0.02)).toBeCloseTo(612, 9);
    expect(pattern(600, 0.02, 'pattern')).toBeCloseTo(612.245, 3);
    expect(patternFromCasting({ contraction: 0.015625, sizes: [300] }).volumeScale).toBeCloseTo(1.04761, 5);
  });

  it('100 mm of grey iron is 101 mm (German encyclopaedia, seen)', () => {
    const result = patternFromCasting({ alloy: 'gi', sizes: [100] });
    expect(result.patternSizes[0]!.value).toBeCloseTo(101, 12);
    expect(result.patternSizes[0]!.low).toBeLessThanOrEqual(100.75);
    expect(result.patternSizes[0]!.high).toBeGreaterThanOrEqual(101.25);
  });

  it('goes there and back', () => {
    for (const basis of ['casting', 'pattern'] as const) {
      const there = patternFromCasting({
        alloy: 'c90500',
        basis,
        sizes: [120, 80, 40],
        freeShare: [1, 0.7, 0],
        rapping: 0.4,
      });
      const back = castingFromPattern({
        alloy: 'c90500',
        basis,
        sizes: there.patternSizes.map((s) => s.value),
        freeShare: [1, 0.7, 0],
        rapping: 0.4,
      });
      expect(back.castingSizes.map((s) => Math.round(s.value * 1e9) / 1e9)).toEqual([120, 80, 40]);
    }
  });

  it('says that a copied object comes out small', () => {
    const copy = castingFromPattern({ alloy: 'bz95_5', sizes: [150] });
    expect(copy.castingSizes[0]!.value).toBeCloseTo(150 / 1.015, 9);
    expect(copy.castingSizes[0]!.value).toBeLessThan(150);
    expect(copy.findings[0]!.code).toBe('copy-comes-out-small');
    expect(copy.findings[0]!.message).toContain('150 mm comes out at 147.8 mm');
  });

  it('reads a test bar: 12 in pattern, 11.750 in casting (pattern shop page, seen)', () => {
    const bar = contractionFromTestBar({ pattern: 12, casting: 11.75 });
    expect(bar.ratio).toBeCloseTo(0.97916, 4);
    expect(bar.ofPattern).toBeCloseTo(0.02083, 5);
    expect(bar.ofCasting).toBeCloseTo(0.02128, 5);
    expect(contractionFromTestBar({ pattern: 12, casting: 12.1 }).findings[0]!.code).toBe('contraction-beyond-metals');
  });

  it('warns that rapping may cancel it and that hindered contraction is a judgement', () => {
    const codes = (share: number, size: number): string[] =>
      patternFromCasting({ alloy: 'cu', sizes: [size], freeShare: share }).findings.map((f) => f.code);
    expect(codes(1, 200)).toEqual(['rapping-may-cancel']);
    expect(codes(0.7, 800)).toEqual(['hindered-contraction']);
    expect(codes(1, 800)).toEqual([]);
  });

  it('refuses nonsense', () => {
    expect(() => patternFromCasting({ alloy: 'cu', sizes: [] })).toThrow(/list of lengths/);
    expect(() => patternFromCasting({ alloy: 'cu', sizes: [0] })).toThrow(/sizes\[0\]/);
    expect(() => patternFromCasting({ contraction: 1.5, sizes: [10] })).toThrow(/0–0\.1/);
    expect(() => patternFromCasting({ alloy: 'cu', sizes: [10, 20], freeShare: [1] })).toThrow(/one for each/);
    expect(() => patternFromCasting({ alloy: 'cu', basis: 'shrink' as never, sizes: [10] })).toThrow(/basis/);
  });
});
