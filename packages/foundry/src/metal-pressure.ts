/** Pressure of the metal on the sand at a depth, and its force on a side of the mould. */
import { checkNumber, OddsideError, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { notNegative } from './check-option.js';
import { GRAVITY } from './gravity.js';
import { HYDRAULICS } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** What `metalPressure` takes. */
export interface MetalPressureOptions {
  readonly alloy?: string | Alloy;
  readonly liquidDensityKgM3?: number;
  /** Below the level of the metal, mm; of an upright face, its middle. */
  readonly depth: number;
  /** Area of the face, mm². Default 0. */
  readonly areaMm2?: number;
}

/** Pressure and force at rest. */
export interface MetalPressure extends FoundryResult {
  readonly pressureKpa: number;
  /** On the face, N. */
  readonly forceN: number;
}

export const METAL_PRESSURE_DEFAULTS: DefaultsOf<MetalPressureOptions> = Object.freeze({
  alloy: undefined,
  liquidDensityKgM3: undefined,
  depth: undefined,
  areaMm2: 0,
});

/** p = ρ g h: what the sand of floor and sides must bear. Filling adds a surge on top. */
export function metalPressure(options: MetalPressureOptions): MetalPressure {
  const given = resolveOptions('metalPressure', METAL_PRESSURE_DEFAULTS, options);
  if (given.alloy === undefined && given.liquidDensityKgM3 === undefined) {
    throw new OddsideError('bad-option', 'metalPressure needs an alloy, or liquidDensityKgM3.');
  }
  const densityKgM3 = checkNumber(
    'liquidDensityKgM3 (kg/m³)',
    given.liquidDensityKgM3 ?? resolveAlloy(given.alloy).liquidDensityKgM3.value,
    { min: 100, max: 25000 },
  );
  const depth = notNegative(given, 'depth', 'mm');
  const areaMm2 = notNegative(given, 'areaMm2', 'mm²');
  const pressureKpa = densityKgM3 * GRAVITY * depth * 1e-6;
  return {
    pressureKpa,
    forceN: (pressureKpa * areaMm2) / 1000,
    workings: [
      working(
        'pressure of the metal',
        'p = ρ g h',
        [quantity('liquid density', densityKgM3, 'kg/m³'), quantity('depth', depth, 'mm')],
        quantity('pressure', pressureKpa, 'kPa'),
        HYDRAULICS,
      ),
    ],
    findings: [],
  };
}
