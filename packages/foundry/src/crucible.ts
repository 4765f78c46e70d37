/** Which pot holds the melt. */
import { checkNumber, type Finding, OddsideError, plainNumber, resolveOptions } from '@oddside/core';
import { between, positive } from './check-option.js';
import { COMMON_PRACTICE, SHOP_PRACTICE_2 } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** What `sizeCrucible` takes. */
export interface CrucibleOptions {
  /** Mass of the liquid metal, kg. */
  readonly meltMassKg: number;
  /** Density of the liquid metal, kg/m³. */
  readonly liquidDensityKgM3: number;
  /** How full the pot may be in work, 0–1. Default 0.8 (0.75–0.85 is usual). */
  readonly fillFraction?: number;
  /** Number of the bilge pot at hand. Without it the smallest that serves is named. */
  readonly crucibleNumber?: number;
}

/** The pot for the job. */
export interface CrucibleResult extends FoundryResult {
  /** Volume of the liquid metal, mm³. */
  readonly metalVolumeMm3: number;
  /** Brim volume that the working fill asks for, mm³. */
  readonly brimVolumeNeededMm3: number;
  /** Number of the pot: the caller's, or the smallest bilge pot that serves; `undefined` where none is big enough. */
  readonly number: number | undefined;
  /** Brim volume of that pot, mm³. */
  readonly brimVolumeMm3: number | undefined;
  /** How full that pot gets, 0–1; above 1 it does not hold the metal. */
  readonly fullness: number | undefined;
}

export const CRUCIBLE_DEFAULTS: DefaultsOf<CrucibleOptions> = Object.freeze({
  meltMassKg: undefined,
  liquidDensityKgM3: undefined,
  fillFraction: 0.8,
  crucibleNumber: undefined,
});

/** Numbers bilge pots are commonly sold in. */
const NUMBERS: readonly number[] = Object.freeze([
  1, 2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 25, 30, 35, 40, 50, 60, 70, 80, 90, 100, 120, 150, 200, 250, 300,
]);

/**
 * Brim volume of a bilge pot by its number, mm³. A table of pots of the early 1900s gives 0.1575 litre a number for
 * Nos. 6 and 12 and 0.174 for No. 30; a full No. 70 that held 200 lb of bronze gives 0.164. Between 12 and 30 the
 * litres a number are interpolated. The worded rule "N pounds of aluminium, 3 N of bronze" promises 9–18 % too much.
 */
export function brimVolumeOf(number: number): number {
  checkNumber('crucible number', number, { min: 0, above: true, max: 1000 });
  const small = 0.1575;
  const large = 0.17;
  const perNumber = number <= 12 ? small : number >= 30 ? large : small + ((large - small) * (number - 12)) / 18;
  return number * perNumber * 1e6;
}

/** Sizes the pot for a melt, or checks the pot at hand. Its brim volume is known to about 5 %. */
export function sizeCrucible(options: CrucibleOptions): CrucibleResult {
  const given = resolveOptions('sizeCrucible', CRUCIBLE_DEFAULTS, options);
  const massKg = positive(given, 'meltMassKg', 'kg');
  const densityKgM3 = between(given, 'liquidDensityKgM3', 'kg/m³', 100, 25000);
  const fill = between(given, 'fillFraction', '0–1', 0.1, 1);
  const metalVolumeMm3 = (massKg / densityKgM3) * 1e9;
  const brimVolumeNeededMm3 = metalVolumeMm3 / fill;
  const number = given.crucibleNumber ?? NUMBERS.find((n) => brimVolumeOf(n) >= brimVolumeNeededMm3);
  const brimVolumeMm3 = number === undefined ? undefined : brimVolumeOf(number);
  const fullness = brimVolumeMm3 === undefined ? undefined : metalVolumeMm3 / brimVolumeMm3;
  if (fullness !== undefined && Number.isNaN(fullness)) {
    throw new OddsideError('bad-number', 'sizeCrucible: the pot has no volume.');
  }
  return {
    metalVolumeMm3,
    brimVolumeNeededMm3,
    number,
    brimVolumeMm3,
    fullness,
    workings: [
      working(
        'pot volume',
        'brim = mass / liquid density / working fill',
        [
          quantity('melt', massKg, 'kg'),
          quantity('liquid density', densityKgM3, 'kg/m³'),
          quantity('working fill', fill, '1'),
        ],
        quantity('brim volume needed', brimVolumeNeededMm3, 'mm³'),
        COMMON_PRACTICE,
      ),
      ...(number === undefined || brimVolumeMm3 === undefined
        ? []
        : [
            working(
              'brim volume of a bilge pot',
              'litres a number × number',
              [quantity('number', number, '1')],
              quantity('brim volume', brimVolumeMm3, 'mm³'),
              SHOP_PRACTICE_2,
            ),
          ]),
    ],
    findings: findingsOf(fullness, fill, number),
  };
}

function findingsOf(fullness: number | undefined, fill: number, number: number | undefined): Finding[] {
  if (fullness === undefined) {
    return [
      {
        code: 'no-pot-that-big',
        severity: 'problem',
        message: 'No crucible number in the table holds this melt.',
        remedy: 'Split the job into several castings or have it poured by a foundry.',
      },
    ];
  }
  const percent = `${plainNumber(fullness * 100)} %`;
  if (fullness > 1) {
    return [
      {
        code: 'pot-too-small',
        severity: 'problem',
        message: `A No. ${number} pot does not hold the melt: it would be ${percent} full.`,
        remedy: 'Take a bigger pot or cut the gating and feeders.',
      },
    ];
  }
  if (fullness > fill + 1e-9) {
    return [
      {
        code: 'pot-tight',
        severity: 'warning',
        message: `A No. ${number} pot would be ${percent} full, above the working fill of ${plainNumber(fill * 100)} %.`,
        remedy: 'Take the next size; a brim-full pot slops when it is lifted.',
      },
    ];
  }
  return [];
}
