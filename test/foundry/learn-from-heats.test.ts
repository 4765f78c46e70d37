import { learnFromHeats } from '@oddside/foundry';
import { describe, expect, test } from 'vitest';

const heat = (estimatedCastingKg: number, weighedCastingKg: number, meltedKg: number) => ({
  estimatedCastingKg,
  weighedCastingKg,
  meltedKg,
});

describe('learning from heats', () => {
  test('the yield is total over total, not the mean of ratios', () => {
    const { yieldFraction, massFactor } = learnFromHeats({ heats: [heat(1, 1, 2), heat(9, 9, 12)] });
    expect(yieldFraction.value).toBeCloseTo(10 / 14, 12);
    expect(massFactor).toEqual({ value: 1, low: 1, high: 1 });
    expect(yieldFraction.low).toBeLessThanOrEqual(0.5);
    expect(yieldFraction.high).toBeGreaterThanOrEqual(0.75);
  });

  test('the spread is two standard deviations of the single heats, and holds every heat seen', () => {
    const heats = [0.5, 0.55, 0.6, 0.65, 0.7].map((share) => heat(share * 10, share * 10, 10));
    const { yieldFraction, reliable } = learnFromHeats({ heats });
    const sd = Math.sqrt((0.01 + 0.0025 + 0 + 0.0025 + 0.01) / 4);
    expect(yieldFraction.value).toBeCloseTo(0.6, 12);
    expect(yieldFraction.low).toBeCloseTo(0.6 - 2 * sd, 12);
    expect(yieldFraction.high).toBeCloseTo(0.6 + 2 * sd, 12);
    expect(reliable).toBe(true);
  });

  test('few heats, and estimates that are off, are said', () => {
    const { findings, reliable } = learnFromHeats({ heats: [heat(3, 2.5, 5)] });
    expect(reliable).toBe(false);
    expect(findings.map((finding) => finding.code)).toEqual(['few-heats', 'estimates-off']);
  });

  test('nonsense is refused', () => {
    expect(() => learnFromHeats({ heats: [] })).toThrow(/at least one heat/);
    expect(() => learnFromHeats({ heats: [heat(1, 3, 2)] })).toThrow(/at most what was melted/);
    expect(() => learnFromHeats({ heats: [heat(1, 0, 2)] })).toThrow(/weighedCastingKg/);
  });
});
