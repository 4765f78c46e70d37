/** Worked examples of freezing and feeding; status of each expected value beside it, as in the filling examples. */
import {
  constantFromTrial,
  feederByCaine,
  feederByShapeFactor,
  feedingDistance,
  minutesPerCm2,
  minutesPerMm2,
  modulusOf,
  sizeFeeder,
  solidificationTime,
} from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

type Row = readonly [name: string, status: string, got: () => number, expected: number, tolerance: number];

const MINUTE = 60;
const sphere = modulusOf({ shape: 'sphere', diameter: 100 });
const cube = modulusOf({ shape: 'cube', side: 100 });
const drum = modulusOf({ shape: 'cylinder', diameter: 100, height: 100 });
const minutes = (modulus: number, constantSMm2: number): number =>
  solidificationTime({ modulus, constantSMm2 }).timeS.value / MINUTE;
/** Freezing time over B of a body of unit volume. */
const unit = (m: { modulus: number; volumeMm3: number | undefined }): number =>
  (m.modulus / Math.cbrt(m.volumeMm3!)) ** 2;
/** A feeder D = H whose freezing time is `ratio` times the casting's. */
const byTime = (castingModulus: number, castingVolumeMm3: number, ratio: number) =>
  sizeFeeder({ castingModulus, castingVolumeMm3, modulusFactor: Math.sqrt(ratio), shrinkageFraction: 0.03 });
const block = (length: number, width: number, height: number) => modulusOf({ shape: 'block', length, width, height });
const plate75 = block(75, 125, 20);
const plate80 = block(80, 120, 20);
const slab = block(250, 250, 50);
const bronze = block(100, 100, 25);
const bronzeFeeder = sizeFeeder({
  castingVolumeMm3: bronze.volumeMm3!,
  castingModulus: bronze.modulus,
  shrinkageFraction: 0.05,
});
const caine = feederByCaine({ metal: 'steel', castingVolumeMm3: slab.volumeMm3!, castingModulus: slab.modulus });
const shapeFactor = feederByShapeFactor({ length: 250, width: 250, thickness: 50 });
const round = modulusOf({ shape: 'cylinder', diameter: 100, height: 500 });
/** A rectangle a = 2b of the same length and section area as the round. */
const b = Math.sqrt((Math.PI * 2500) / 2);
const rectangle = block(500, 2 * b, b);
const inch = (value: number): number => value * 25.4;
const cylinder = modulusOf({ shape: 'cylinder', diameter: inch(8), height: inch(2) });
const side = Math.sqrt(cylinder.volumeMm3! / inch(4));
const thick = block(side, side, inch(4));

const rows: readonly Row[] = [
  ['20 modulus of a 100 mm sphere', 'published', () => sphere.modulus, 16.667, 0.002],
  ['20 of a 100 mm cube', 'published', () => cube.modulus, 16.667, 0.002],
  ['20 of a 100 mm cylinder D = H', 'published', () => drum.modulus, 16.667, 0.002],
  ['20 all freeze in 9.72 min', 'published', () => minutes(sphere.modulus, minutesPerCm2(3.5)), 9.72, 0.002],
  ['21 sphere of unit volume', 'published, from memory (Kalpakjian)', () => unit(sphere), 0.0428, 0.005],
  ['21 cube of unit volume', 'published, from memory', () => unit(cube), 0.0278, 0.005],
  ['21 cylinder of unit volume', 'published, from memory', () => unit(drum), 0.0326, 0.005],
  [
    '22 B of a 30 mm cube that freezes in 4 min',
    'published',
    () => constantFromTrial({ modulus: 5, timeS: 240 }).constantSMm2 / minutesPerMm2(1),
    0.16,
    0.005,
  ],
  ['22 feeder that takes 25 % longer', 'derived', () => byTime(5, 27000, 1.25).byModulus.diameter, 33.5, 0.005],
  ['23 modulus of 75 × 125 × 20', 'published', () => plate75.modulus, 7.009, 0.005],
  [
    '23 B',
    'published',
    () => constantFromTrial({ modulus: plate75.modulus, timeS: 96 }).constantSMm2 / minutesPerCm2(1),
    3.257,
    0.005,
  ],
  [
    '23 feeder',
    'published (4.7 cm)',
    () => byTime(plate75.modulus, plate75.volumeMm3!, 2 / 1.6).byModulus.diameter,
    47,
    0.005,
  ],
  [
    '23 feeder over casting',
    'published (44 %)',
    () => byTime(plate75.modulus, plate75.volumeMm3!, 1.25).byModulus.volumeMm3 / plate75.volumeMm3!,
    0.435,
    0.005,
  ],
  [
    '24 B of 80 × 120 × 20 in 2 min',
    'published (entrance examination 2018)',
    () => constantFromTrial({ modulus: plate80.modulus, timeS: 120 }).constantSMm2 / minutesPerMm2(1),
    0.04014,
    0.002,
  ],
  [
    '24 feeder for 3 min',
    'published',
    () => byTime(plate80.modulus, plate80.volumeMm3!, 1.5).byModulus.diameter,
    51.87,
    0.002,
  ],
  [
    '25 cylinder H = r against cube 2r',
    'published (entrance examination 2015)',
    () =>
      (modulusOf({ shape: 'cylinder', diameter: 2, height: 1 }).modulus /
        modulusOf({ shape: 'cube', side: 2 }).modulus) **
      2,
    0.5625,
    1e-12,
  ],
  ['26 surface of the round', 'published', () => round.coolingAreaMm2!, 172788, 0.005],
  ['26 surface of the rectangle', 'published', () => rectangle.coolingAreaMm2!, 203705, 0.005],
  ['26 ratio of times', 'published (0.72)', () => (rectangle.modulus / round.modulus) ** 2, 0.719, 0.005],
  ['27 block 100 × 100 × 40', 'published', () => block(100, 100, 40).modulus, 100 / 9, 1e-12],
  ['28 cylinder r 4, H 2 in', 'published', () => (cylinder.modulus / 25.4) ** 2, 0.444, 0.005],
  ['28 square plate of the same volume', 'published (0.59)', () => (thick.modulus / 25.4) ** 2, 0.594, 0.005],
  ['29 slab modulus', 'published, from memory (Rao)', () => slab.modulus, 17.857, 0.002],
  [
    '29 feeder by modulus',
    'published, from memory (Rao)',
    () =>
      sizeFeeder({ castingVolumeMm3: 3125e3, castingModulus: slab.modulus, shrinkageFraction: 0.03 }).byModulus
        .diameter,
    128.6,
    0.002,
  ],
  ['30 the same by Caine', 'derived', () => caine.diameter, 128.5, 0.005],
  ['30 X', 'derived', () => caine.x, 1.199, 0.005],
  ['30 Y', 'derived', () => caine.y, 0.533, 0.005],
  ['31 the same by shape factor', 'published, from memory (Rao)', () => shapeFactor.diameter, 123.2, 0.01],
  ['31 shape factor', 'derived', () => shapeFactor.shapeFactor, 10, 1e-12],
  ['32 bronze plate modulus', 'derived', () => bronze.modulus, 8.333, 0.002],
  ['32 feeder', 'derived', () => bronzeFeeder.diameter, 60, 0.002],
  ['32 its volume', 'derived', () => bronzeFeeder.volumeMm3, 169.6e3, 0.002],
  ['32 volume rule', 'derived', () => bronzeFeeder.byVolume.volumeMm3, 138.9e3, 0.002],
  ['33 its freezing time', 'derived', () => minutes(bronze.modulus, minutesPerCm2(4)), 2.78, 0.005],
  ['34 block 200 × 100 × 20', 'derived', () => block(200, 100, 20).modulus, 7.692, 0.001],
  [
    '34 cylinder 40 × 80',
    'derived',
    () => modulusOf({ shape: 'cylinder', diameter: 40, height: 80 }).modulus,
    8,
    0.001,
  ],
  [
    '34 endless bar 25',
    'derived',
    () => modulusOf({ shape: 'endless bar', width: 25, height: 25 }).modulus,
    6.25,
    0.001,
  ],
  [
    '35 steel plate feeds',
    'derived from a formula from memory',
    () => feedingDistance({ alloy: 'steel', thickness: 25 }).distance.value,
    112.5,
    0.005,
  ],
  [
    '35 steel bar feeds',
    'derived from a formula from memory',
    () => feedingDistance({ alloy: 'steel', shape: 'bar', thickness: 25 }).distance.value,
    151.2,
    0.005,
  ],
];

describe('worked examples: freezing and feeding', () => {
  it.each(rows)('%s (%s)', (_, __, got, expected, tolerance) => {
    expect(Math.abs(got() / expected - 1)).toBeLessThanOrEqual(tolerance);
  });

  it('32: the modulus rule wins', () => expect(bronzeFeeder.by).toBe('modulus'));
});
