/** Weights and clamps against the lift. */
import { checkNumber, type Finding, plainNumber, type Ranged, resolveOptions } from '@oddside/core';
import { between, notNegative } from './check-option.js';
import { GRAVITY } from './gravity.js';
import { seen } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, quantity, working } from './result.js';

/** What `weightCope` takes. */
export interface WeightCopeOptions {
  /** Lift, N: a figure, or `liftN` of `copeLift`; of a range the high end is held. */
  readonly liftN: number | Ranged;
  /** Mass of the cope's sand and flask, kg, counted low. Default 0. */
  readonly copeMassKg?: number;
  /** Surge and surprises. Default 1.5; 1.3–1.5 in books, 1.43 in a worked example, 2 in many shops. */
  readonly factorOfSafety?: number;
  /** Clamps that share the load instead of weights. Default 4. */
  readonly clamps?: number;
}

/** What to put on. */
export interface CopeWeights extends FoundryResult {
  /** Mass to add on top, kg. */
  readonly weightMassKg: number;
  /** The same as a force, N. */
  readonly weightN: number;
  /** Load on each clamp if clamped instead, N. */
  readonly clampN: number;
  /** Hold-down over lift, of the cope alone: under 1 it floats unweighted. `undefined` where nothing lifts. */
  readonly holdsWithoutWeights: number | undefined;
}

export const WEIGHT_COPE_DEFAULTS: DefaultsOf<WeightCopeOptions> = Object.freeze({
  liftN: undefined,
  copeMassKg: 0,
  factorOfSafety: 1.5,
  clamps: 4,
});

/** Extra weight = factor × lift − weight of the cope, never less than nothing. */
export function weightCope(options: WeightCopeOptions): CopeWeights {
  const given = resolveOptions('weightCope', WEIGHT_COPE_DEFAULTS, options);
  const lift = typeof given.liftN === 'object' && given.liftN !== null ? given.liftN : exactly(given.liftN as number);
  const high = checkNumber('liftN (N)', lift.high, { min: 0 });
  const copeMassKg = notNegative(given, 'copeMassKg', 'kg');
  const factor = between(given, 'factorOfSafety', '', 1, 10);
  const clamps = checkNumber('clamps', given.clamps, { min: 1, max: 100, whole: true });
  const weightN = Math.max(0, factor * high - copeMassKg * GRAVITY);
  const weightMassKg = weightN / GRAVITY;
  const findings: Finding[] = [];
  if (weightMassKg > 0) {
    findings.push({
      code: 'weight-the-cope',
      severity: 'warning',
      message: `Put ${plainNumber(weightMassKg)} kg on the cope, or clamp it with ${clamps} clamps for ${plainNumber(weightN / clamps)} N each.`,
      remedy: 'Lay weights across flask bars, shortly before pouring, not on soft sand.',
    });
  } else {
    findings.push({
      code: 'cope-holds-itself',
      severity: 'note',
      message: 'By the numbers the cope holds itself down; clamp or weight it all the same.',
    });
  }
  if (factor < 1.3) {
    findings.push({
      code: 'factor-of-safety-low',
      severity: 'warning',
      message: `A factor of safety of ${factor} leaves little for the surge when the mould fills.`,
      remedy: 'Use 1.5.',
    });
  }
  return {
    weightMassKg,
    weightN,
    clampN: weightN / clamps,
    holdsWithoutWeights: high === 0 ? undefined : (copeMassKg * GRAVITY) / high,
    workings: [
      working(
        'weight on the cope',
        'weight = factor × lift − weight of the cope',
        [
          quantity('lift, high end', high, 'N'),
          quantity('factor of safety', factor, '1'),
          quantity('cope', copeMassKg, 'kg'),
        ],
        quantity('weight to add', weightMassKg, 'kg'),
        seen('Shop Practice, vol. 1 (early 1900s): 150 lb on a lift of 104.8 lb, a factor of 1.43'),
      ),
    ],
    findings,
  };
}
