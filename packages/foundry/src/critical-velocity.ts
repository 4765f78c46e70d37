/** How fast metal may leave a gate before its surface folds in. */
import { checkNumber, OddsideError, type Ranged, resolveOptions } from '@oddside/core';
import type { Alloy, AlloyFamily } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { GRAVITY, headFromSpeed } from './gravity.js';
import { seen } from './references.js';
import { type DefaultsOf, type FoundryResult, give, quantity, working } from './result.js';

/** What `criticalVelocity` takes: an alloy, or surface tension and density. */
export interface CriticalVelocityOptions {
  readonly alloy?: string | Alloy;
  /** Surface tension of the liquid, N/m. */
  readonly surfaceTensionNM?: number;
  readonly liquidDensityKgM3?: number;
}

/** The speed and the fall that gives it. */
export interface CriticalVelocityResult extends FoundryResult {
  readonly velocityMS: Ranged;
  /** mm; a sprue taller than this already exceeds it, so metal must be slowed after the choke. */
  readonly drop: number;
}

export const CRITICAL_VELOCITY_DEFAULTS: DefaultsOf<CriticalVelocityOptions> = Object.freeze({
  alloy: undefined,
  surfaceTensionNM: undefined,
  liquidDensityKgM3: undefined,
});

const BALANCE = seen('J. Campbell, Castings: ½ρV² = 2γ/r; surface tensions from memory (Smithells)');

/** Surface tension, N/m, of the liquid metals. */
function surfaceTensionOf(family: AlloyFamily): number {
  switch (family) {
    case 'copper':
      return 1.3;
    case 'aluminium':
      return 0.9;
    case 'zinc':
      return 0.78;
    case 'tin':
      return 0.55;
    case 'silver':
      return 0.9;
    case 'grey iron':
    case 'ductile iron':
    case 'steel':
      return 1.87;
    default:
      return 1.2;
  }
}

/** V = 2 (γ g / ρ)^¼, the speed at which a liquid surface can no longer hold itself together. Known to about 10 %. */
export function criticalVelocity(options: CriticalVelocityOptions): CriticalVelocityResult {
  const given = resolveOptions('criticalVelocity', CRITICAL_VELOCITY_DEFAULTS, options);
  const alloy = given.alloy === undefined ? undefined : resolveAlloy(given.alloy);
  const tension = given.surfaceTensionNM ?? (alloy ? surfaceTensionOf(alloy.family) : undefined);
  const density = given.liquidDensityKgM3 ?? alloy?.liquidDensityKgM3.value;
  if (tension === undefined || density === undefined) {
    throw new OddsideError('bad-option', 'criticalVelocity needs an alloy, or surfaceTensionNM and liquidDensityKgM3.');
  }
  checkNumber('surfaceTensionNM (N/m)', tension, { min: 0, above: true, max: 5 });
  checkNumber('liquidDensityKgM3 (kg/m³)', density, { min: 100, max: 25000 });
  const value = 2 * ((tension * GRAVITY) / density) ** 0.25;
  return {
    velocityMS: give(value, 0.1),
    drop: headFromSpeed(value),
    workings: [
      working(
        'critical velocity at a gate',
        'V = 2 (γ g / ρ)^¼',
        [quantity('surface tension', tension, 'N/m'), quantity('liquid density', density, 'kg/m³')],
        quantity('critical velocity', value, 'm/s'),
        BALANCE,
      ),
    ],
    findings: [],
  };
}
