/** What a workshop's own heats teach: the yield it really gets, and how its castings weigh against the estimate. */
import { checkNumber, type Finding, OddsideError, type Ranged, resolveOptions } from '@oddside/core';
import { listOf } from './check-option.js';
import { derived } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** One heat, estimated and weighed. */
export interface Heat {
  /** What the casting was to weigh, kg. */
  readonly estimatedCastingKg: number;
  /** What it weighed, fettled, kg. */
  readonly weighedCastingKg: number;
  /** Metal that went into the pot, kg. */
  readonly meltedKg: number;
}

/** What `learnFromHeats` takes. */
export interface LearnOptions {
  /** At least one. */
  readonly heats: readonly Heat[];
}

/** What they teach; each range reaches two standard deviations either way, and never past what was seen when wider. */
export interface LearnedFromHeats extends FoundryResult {
  /** Casting over melt, 0–1: the total over the total, with the spread of the single heats. */
  readonly yieldFraction: Ranged;
  /** Weighed over estimated: multiply an estimate by it. */
  readonly massFactor: Ranged;
  /** False for fewer than five heats: the spread is then itself a guess. */
  readonly reliable: boolean;
}

export const LEARN_DEFAULTS: DefaultsOf<LearnOptions> = Object.freeze({ heats: undefined });

/** Heats before the spread is believed. */
const ENOUGH = 5;

/**
 * Learns from past heats.
 *
 * @throws OddsideError `bad-option` without a heat, `bad-number` for a mass that is not above 0, or a casting heavier than
 * what was melted.
 */
export function learnFromHeats(options: LearnOptions): LearnedFromHeats {
  const { heats } = resolveOptions('learnFromHeats', LEARN_DEFAULTS, options);
  if (!Array.isArray(heats) || heats.length === 0) {
    throw new OddsideError('bad-option', 'learnFromHeats needs a list of at least one heat; none came.');
  }
  const list = listOf<Heat>('learnFromHeats: heats', heats);
  for (const [i, heat] of list.entries()) {
    const melted = checkNumber(`heats[${i}].meltedKg (kg)`, heat.meltedKg, { min: 0, above: true });
    checkNumber(`heats[${i}].weighedCastingKg (kg, at most what was melted)`, heat.weighedCastingKg, {
      min: 0,
      above: true,
      max: melted,
    });
    checkNumber(`heats[${i}].estimatedCastingKg (kg)`, heat.estimatedCastingKg, { min: 0, above: true });
  }
  const yieldFraction = ratio(
    list,
    (heat) => heat.weighedCastingKg,
    (heat) => heat.meltedKg,
  );
  const massFactor = ratio(
    list,
    (heat) => heat.weighedCastingKg,
    (heat) => heat.estimatedCastingKg,
  );
  const findings: Finding[] = [];
  if (list.length < ENOUGH) {
    findings.push({
      code: 'few-heats',
      severity: 'note',
      message: `${list.length} heat${list.length === 1 ? '' : 's'} cannot show how much your heats vary; ${ENOUGH} begin to.`,
      remedy: 'Go on weighing castings and melts.',
    });
  }
  if (Math.abs(massFactor.value - 1) > 0.05) {
    findings.push({
      code: 'estimates-off',
      severity: 'warning',
      message: `Your castings weigh ${Math.round((massFactor.value - 1) * 100)} % off the estimate on the whole.`,
      remedy: 'Check the unit and the alloy, then hard rapping, swollen moulds, or porosity.',
    });
  }
  return {
    yieldFraction: { ...yieldFraction, high: Math.min(1, yieldFraction.high) },
    massFactor,
    reliable: list.length >= ENOUGH,
    workings: [
      working(
        'yield of the workshop',
        'yield = Σ castings / Σ melts',
        [quantity('heats', list.length, '1')],
        quantity('yield', yieldFraction.value, '1'),
        MEAN,
      ),
      working(
        'mass factor of the workshop',
        'factor = Σ weighed / Σ estimated',
        [quantity('heats', list.length, '1')],
        quantity('factor', massFactor.value, '1'),
        MEAN,
      ),
    ],
    findings,
  };
}

const MEAN = derived("from the workshop's own weighed heats: ratio of totals, spread of the single ratios");

function ratio(heats: readonly Heat[], above: (heat: Heat) => number, below: (heat: Heat) => number): Ranged {
  const total = (part: (heat: Heat) => number): number => heats.reduce((sum, heat) => sum + part(heat), 0);
  const value = total(above) / total(below);
  const single = heats.map((heat) => above(heat) / below(heat));
  const variance = heats.length > 1 ? single.reduce((sum, one) => sum + (one - value) ** 2, 0) / (heats.length - 1) : 0;
  const spread = 2 * Math.sqrt(variance);
  return {
    value,
    low: Math.max(0, Math.min(value - spread, ...single)),
    high: Math.max(value + spread, ...single),
  };
}
