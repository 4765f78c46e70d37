/** What the casting weighs, from its volume. */
import { checkNumber, OddsideError, type Ranged, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { quantity, times, working } from './result.js';

/** The part of `planMetal`'s options that settles the casting's mass. */
export interface CastingMassInputs {
  readonly castingVolumeMm3: number | undefined;
  readonly volumeErrorMm3: number | undefined;
  readonly porosityFraction: number | undefined;
  readonly rapping: number | undefined;
  readonly areaMm2: number | undefined;
}

/** Porosity that an ordinary casting may carry; the low end of the mass allows for it. */
const USUAL_POROSITY = 0.02;
/** A mould is never smaller than the pattern; rapping that nobody measured may add this share to the volume. */
const UNMEASURED_RAPPING = 0.01;

/**
 * The mass with its range. The high end is sound metal in a mould rapped wide, the low end porous metal in a tight one.
 *
 * @throws OddsideError `bad-number`, or `bad-option` for rapping without a surface.
 */
export function castingMass(given: CastingMassInputs, alloy: Alloy): { massKg: Ranged; working: Working } {
  const volume = checkNumber('castingVolumeMm3 (mm³)', given.castingVolumeMm3, { min: 0, above: true });
  const error = checkNumber('volumeErrorMm3 (mm³)', given.volumeErrorMm3, { min: 0 });
  const porosity = checkNumber('porosityFraction (0–0.2)', given.porosityFraction, { min: 0, max: 0.2 });
  const rapping = checkNumber('rapping (mm)', given.rapping, { min: 0, max: 10 });
  if (rapping > 0 && given.areaMm2 === undefined) {
    throw new OddsideError('bad-option', 'planMetal: rapping in mm needs areaMm2, the surface it acts on.');
  }
  const areaMm2 = given.areaMm2 === undefined ? 0 : checkNumber('areaMm2 (mm²)', given.areaMm2, { min: 0 });
  const grown = rapping * areaMm2;
  const mould: Ranged = {
    value: volume + grown,
    low: Math.max(0, volume + 0.5 * grown - error),
    high: volume + (rapping > 0 ? 1.5 * grown : UNMEASURED_RAPPING * volume) + error,
  };
  const sound: Ranged = { value: 1 - porosity, low: 1 - Math.max(porosity, USUAL_POROSITY), high: 1 };
  const { value, low, high, reference } = alloy.densityKgM3;
  const massKg = times(times(mould, sound), { value: value / 1e9, low: low / 1e9, high: high / 1e9 });
  return {
    massKg,
    working: working(
      'casting mass',
      'mass = (volume + rapping × area) × density × (1 − porosity)',
      [
        quantity('volume', volume, 'mm³'),
        quantity('error of the volume', error, 'mm³'),
        quantity('rapping × area', grown, 'mm³'),
        quantity('density', value, 'kg/m³'),
        quantity('porosity', porosity, '1'),
      ],
      quantity('casting', massKg.value, 'kg'),
      reference,
    ),
  };
}
