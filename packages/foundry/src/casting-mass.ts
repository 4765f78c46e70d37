/** What the casting weighs, from its volume. */
import { OddsideError, type Ranged, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { notNegative, positive } from './check-option.js';
import { mapRange, quantity, times, working } from './result.js';

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
  const volume = positive(given, 'castingVolumeMm3', 'mm³');
  const error = notNegative(given, 'volumeErrorMm3', 'mm³');
  const porosity = notNegative(given, 'porosityFraction', '0–0.2', 0.2);
  const rapping = notNegative(given, 'rapping', 'mm', 10);
  if (rapping > 0 && given.areaMm2 === undefined) {
    throw new OddsideError('bad-option', 'planMetal: rapping in mm needs areaMm2, the surface it acts on.');
  }
  const areaMm2 = given.areaMm2 === undefined ? 0 : notNegative(given, 'areaMm2', 'mm²');
  const grown = rapping * areaMm2;
  const mould: Ranged = {
    value: volume + grown,
    low: Math.max(0, volume + 0.5 * grown - error),
    high: volume + (rapping > 0 ? 1.5 * grown : UNMEASURED_RAPPING * volume) + error,
  };
  const sound: Ranged = { value: 1 - porosity, low: 1 - Math.max(porosity, USUAL_POROSITY), high: 1 };
  const { densityKgM3 } = alloy;
  const massKg = times(
    times(mould, sound),
    mapRange(densityKgM3, (rho) => rho / 1e9),
  );
  return {
    massKg,
    working: working(
      'casting mass',
      'mass = (volume + rapping × area) × density × (1 − porosity)',
      [
        quantity('volume', volume, 'mm³'),
        quantity('error of the volume', error, 'mm³'),
        quantity('rapping × area', grown, 'mm³'),
        quantity('density', densityKgM3.value, 'kg/m³'),
        quantity('porosity', porosity, '1'),
      ],
      quantity('casting', massKg.value, 'kg'),
      densityKgM3.reference,
    ),
  };
}
