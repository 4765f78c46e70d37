import * as core from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const { MM_PER_UNIT, lengthUnit } = core;

describe('converters, against the definitions of the units', () => {
  // 1 in = 25.4 mm and 1 lb = 0.45359237 kg by the international yard and pound agreement of 1959.
  it.each([
    ['inches', core.inches(1), 25.4],
    ['feet', core.feet(1), 12 * 25.4],
    ['centimetres', core.centimetres(1), 10],
    ['metres', core.metres(1), 1000],
    ['pounds', core.pounds(1), 0.45359237],
    ['grams', core.grams(1), 0.001],
    ['cubic inches', core.cubicInches(1), 25.4 ** 3],
    ['cubic centimetres', core.cubicCentimetres(1), 1000],
    ['litres', core.litres(1), 1_000_000],
    ['freezing water', core.fahrenheit(32), 0],
    ['boiling water', core.fahrenheit(212), 100],
    ['where both scales meet', core.fahrenheit(-40), -40],
    ['half a turn', core.radians(180), Math.PI],
  ])('%s', (_name, found, expected) => expect(found).toBeCloseTo(expected, 9));

  it.each([
    ['inches', core.inches, core.asInches],
    ['pounds', core.pounds, core.asPounds],
    ['fahrenheit', core.fahrenheit, core.asFahrenheit],
    ['degrees', core.radians, core.degrees],
  ] as const)('%s come back from a round trip, either way (seed 15)', (_name, there, back) => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (value) => {
        const slack = 1e-12 * (Math.abs(value) + 100);
        expect(Math.abs(back(there(value)) - value)).toBeLessThanOrEqual(slack);
        expect(Math.abs(there(back(value)) - value)).toBeLessThanOrEqual(slack);
      }),
      { seed: 15 },
    );
  });
});

describe('lengthUnit', () => {
  it('knows each unit by its own name', () => {
    for (const name of Object.keys(MM_PER_UNIT)) expect(lengthUnit(name)).toBe(name);
  });

  it.each([
    ['in', 'inch'],
    ['Inches', 'inch'],
    ['"', 'inch'],
    [' MM ', 'mm'],
    ['millimeter', 'mm'],
    ['metres', 'm'],
    ['ft', 'foot'],
    ['feet', 'foot'],
    ['um', 'micron'],
  ])('takes %s as %s', (typed, unit) => expect(lengthUnit(typed)).toBe(unit));

  it('says what it knows when the unit is unknown', () => {
    expect(() => lengthUnit('furlong')).toThrow(
      expect.objectContaining({
        code: 'unknown-unit',
        message: expect.stringMatching(/expected \(mm, cm, m, inch, foot, micron\), but "furlong" came\. Did you mean/),
      }),
    );
  });

  it('is not misled by names every object has', () => {
    for (const name of ['constructor', 'toString', '__proto__', 'hasOwnProperty']) {
      expect(() => lengthUnit(name)).toThrow(expect.objectContaining({ code: 'unknown-unit' }));
    }
  });
});

describe('MM_PER_UNIT', () => {
  it('agrees with the converters and cannot be changed', () => {
    expect(MM_PER_UNIT.inch).toBe(core.inches(1));
    expect(MM_PER_UNIT.foot).toBeCloseTo(core.feet(1), 12);
    expect(MM_PER_UNIT.cm).toBe(core.centimetres(1));
    expect(MM_PER_UNIT.m).toBe(core.metres(1));
    expect(Object.isFrozen(MM_PER_UNIT)).toBe(true);
  });
});
