import {
  formatArea,
  formatLength,
  formatMass,
  formatShare,
  formatTemperature,
  formatVolume,
  formatVolumeWithin,
  inches,
  plainNumber,
  pounds,
} from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('plainNumber', () => {
  it.each([
    [1234.5, 3, '1230'],
    [0.012345, 3, '0.0123'],
    [0, 3, '0'],
    [-0, 3, '0'],
    [5, 3, '5'],
    [5.1, 3, '5.1'],
    [0.9996, 3, '1'],
    [999.6, 3, '1000'],
    [-12.345, 3, '-12.3'],
    [100, 3, '100'],
    [1200, 2, '1200'],
    [1e9, 3, '1.00e+9'],
    [9.87e-7, 3, '9.87e-7'],
    [0.000001, 3, '0.000001'],
    [123456.789, 6, '123457'],
    [Infinity, 3, 'Infinity'],
    [Number.NaN, 3, 'NaN'],
  ])('%d with %d digits is %s', (value, digits, text) => expect(plainNumber(value, digits)).toBe(text));

  it('reads back within half a unit of its last digit and, for ordinary sizes, without an exponent (seed 11)', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-5, max: 9e8, noNaN: true }), fc.integer({ min: 1, max: 7 }), (value, digits) => {
        const text = plainNumber(value, digits);
        const unit = 10 ** (Math.floor(Math.log10(value)) + 1 - digits);
        expect(Math.abs(Number(text) - value)).toBeLessThanOrEqual(0.5 * unit * (1 + 1e-9));
        expect(text).not.toMatch(/e/);
        expect(text).not.toMatch(/\.\d*0$|\.$/);
        expect(plainNumber(-value, digits)).toBe(`-${text}`);
      }),
      { seed: 11, numRuns: 500 },
    );
  });
});

describe('quantities as people read them', () => {
  it('a length', () => {
    expect(formatLength(152)).toBe('152 mm');
    expect(formatLength(152, 'imperial')).toBe('5.98 in');
    expect(formatLength(152, 'both')).toBe('152 mm (5.98 in)');
    expect(formatLength(inches(3.5), 'imperial')).toBe('3.5 in');
    expect(formatLength(152.4321, 'metric', 5)).toBe('152.43 mm');
  });

  it('a mass, in small units when it is small', () => {
    expect(formatMass(pounds(8), 'both')).toBe('3.63 kg (8 lb)');
    expect(formatMass(0.25)).toBe('250 g');
    expect(formatMass(1)).toBe('1 kg');
    expect(formatMass(pounds(0.5), 'imperial')).toBe('8 oz');
    expect(formatMass(0)).toBe('0 g');
  });

  it('a volume and an area, in small units when small', () => {
    expect(formatVolume(410_000, 'both')).toBe('410 cm³ (25 in³)');
    expect(formatVolume(99)).toBe('99 mm³');
    expect(formatVolume(100)).toBe('0.1 cm³');
    expect(formatArea(5700, 'both')).toBe('57 cm² (8.84 in²)');
    expect(formatArea(99)).toBe('99 mm²');
    expect(formatArea(100)).toBe('1 cm²');
  });

  it('a temperature to the nearest 5 degrees in each system', () => {
    expect(formatTemperature(1150, 'both')).toBe('1150 °C (2100 °F)');
    expect(formatTemperature(1148)).toBe('1150 °C');
    expect(formatTemperature(1147)).toBe('1145 °C');
  });

  it('a share in per cent', () => {
    expect(formatShare(0.0123)).toBe('1.23 %');
    expect(formatShare(1)).toBe('100 %');
  });
});

describe('formatVolumeWithin', () => {
  it.each([
    [203, 31.4, 'metric', '0.203 ± 0.031 cm³'],
    [0, 31.4, 'metric', '0 ± 31 mm³'],
    [12.34, 250, 'metric', '0.0123 ± 0.25 cm³'],
    [163870.64, 16387.064, 'imperial', '10 ± 1 in³'],
    [163870.64, 16387.064, 'both', '164 ± 16 cm³ (10 ± 1 in³)'],
  ] as const)('%d ± %d mm³ in %s is %s', (volumeMm3, errorMm3, system, text) =>
    expect(formatVolumeWithin(volumeMm3, errorMm3, system)).toBe(text),
  );
});
