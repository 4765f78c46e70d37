/** How far a feeder reaches. */
import { checkChoice, type Finding, type Ranged, type Reference, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { isIron } from './alloys/is-iron.js';
import { positive } from './check-option.js';
import { fromMemory } from './references.js';
import { type DefaultsOf, type FoundryResult, give, quantity, working } from './result.js';

/** What `feedingDistance` takes. */
export interface FeedingDistanceOptions {
  readonly alloy: string | Alloy;
  /** Default `plate`. */
  readonly shape?: 'plate' | 'bar';
  /** Thickness of plate or bar, mm. */
  readonly thickness: number;
  /** Whether the section ends there and so cools faster (2.5 thicknesses more). Default true. */
  readonly endEffect?: boolean;
  /** Whether a chill sits at the end. Default false. */
  readonly endChill?: boolean;
}

/** Distance from the feeder's edge. */
export interface FeedingDistanceResult extends FoundryResult {
  /** mm. */
  readonly distance: Ranged;
  /** False for everything but steel: no published figure was found. */
  readonly reliable: boolean;
}

export const FEEDING_DISTANCE_DEFAULTS: DefaultsOf<FeedingDistanceOptions> = Object.freeze({
  alloy: undefined,
  shape: 'plate',
  thickness: undefined,
  endEffect: true,
  endChill: false,
});

const STEEL = fromMemory(
  'Bishop & Pellini; the 2-thickness feeder zone seen in Ou, Carlson & Beckermann, feeding rules',
);
const GUESS = fromMemory('foundry handbooks, low confidence: feeding distance in thicknesses');

/** Feeding distance. For steel by the old rules (newer ones allow about twice); for other metals a guess that says so. */
export function feedingDistance(options: FeedingDistanceOptions): FeedingDistanceResult {
  const given = resolveOptions('feedingDistance', FEEDING_DISTANCE_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const t = positive(given, 'thickness', 'mm');
  checkChoice('feedingDistance: shape', given.shape, ['plate', 'bar']);
  const steel = alloy.family === 'steel';
  const findings: Finding[] = [];
  let distance: Ranged;
  let reference: Reference = GUESS;
  let expression: string;
  if (steel) {
    reference = STEEL;
    const plate = given.shape === 'plate';
    const reach = plate ? (given.endEffect ? 4.5 : 2) * t : 6 * Math.sqrt(t * 25.4);
    expression = plate ? (given.endEffect ? '4.5 T' : '2 T on each side') : '6 √T, T in inches';
    const chill = given.endChill ? (plate ? 50 : t) : 0;
    distance = give(reach + chill, 0.25);
  } else if (isIron(alloy)) {
    expression = 'graphite expansion feeds much of the casting; no distance rule';
    distance = { value: 6 * t, low: 3 * t, high: 12 * t };
  } else if (alloy.freezingClass === 'long' || alloy.family === 'tin bronze') {
    expression = '3 T, up to 4 T for pressure-tight work';
    distance = { value: 3 * t, low: 0, high: 4 * t };
    findings.push({
      code: 'long-freezing-range',
      severity: 'warning',
      message: `${alloy.name} freezes over a long range: feeders reach little, and scattered porosity must be expected.`,
      remedy:
        'Spread the gates, chill the heavy parts and fill quietly: oxide films from turbulence shorten feeding most.',
    });
  } else if (alloy.family === 'aluminium' && alloy.freezingClass !== 'short') {
    expression = '5 T';
    distance = { value: 5 * t, low: 3 * t, high: 7 * t };
  } else {
    expression = '5 T to 8 T';
    distance = { value: 6 * t, low: 5 * t, high: 8 * t };
  }
  if (!steel) {
    findings.push({
      code: 'feeding-distance-unsourced',
      severity: 'note',
      message: 'No published feeding distance was found for this metal; the figure is a guess from memory.',
      remedy: 'Section a first casting where it matters.',
    });
  }
  return {
    distance,
    reliable: steel,
    workings: [
      working(
        `feeding distance, ${given.shape}`,
        expression,
        [quantity('thickness T', t, 'mm')],
        quantity('distance', distance.value, 'mm'),
        reference,
      ),
    ],
    findings,
  };
}
