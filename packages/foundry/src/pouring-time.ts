/** How long the pour should take. */
import { checkChoice, type Finding, type Ranged, type Reference, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { between, positive } from './check-option.js';
import type { GateKind } from './fill-mould.js';
import { COMMON_PRACTICE, RAO, seen } from './references.js';
import { type DefaultsOf, type FoundryResult, give, quantity, working } from './result.js';

/** What `pouringTime` takes. */
export interface PouringTimeOptions {
  readonly alloy: string | Alloy;
  /** Metal poured, kg: casting, gating and feeders. */
  readonly massKg: number;
  /** Governing section of the casting, mm. Default 10; used for iron, light and white metals. */
  readonly section?: number;
  /** Default `parting`. Copper alloys other than tin bronze and brass pour faster from the top. */
  readonly gate?: GateKind;
  /** Fluidity of iron as a spiral length over 40 in. Default 1. */
  readonly fluidity?: number;
}

/** The time to aim at. */
export interface PouringTimeResult extends FoundryResult {
  readonly timeS: Ranged;
}

export const POURING_TIME_DEFAULTS: DefaultsOf<PouringTimeOptions> = Object.freeze({
  alloy: undefined,
  massKg: undefined,
  section: 10,
  gate: 'parting',
  fluidity: 1,
});

interface Rule {
  readonly timeS: number;
  readonly expression: string;
  readonly reference: Reference;
  readonly spread: number;
  readonly valid: boolean;
}

const COURSE_SHEET = seen('foundry course sheet of useful equations: pouring time of grey iron');

/** Factor for thin intricate work, by section in mm. */
const thinFactor = (section: number): number =>
  section < 2.5 ? 1.62 : section < 3.5 ? 1.68 : section < 8 ? 1.85 : 2.2;
const copperFactor = ({ family }: Alloy, gate: GateKind): number => {
  if (family === 'tin bronze') return 2.8;
  if (family === 'yellow brass' || family === 'manganese bronze') return 1.9;
  return gate === 'top' ? 1.3 : 1.8;
};

function ruleFor(alloy: Alloy, W: number, T: number, gate: GateKind, K: number): Rule {
  switch (alloy.family) {
    case 'grey iron':
      return W <= 450
        ? {
            timeS: K * (1.41 + T / 14.59) * Math.sqrt(W),
            expression: 't = K (1.41 + T/14.59) √W',
            reference: COURSE_SHEET,
            spread: 0.3,
            valid: true,
          }
        : {
            timeS: K * (1.236 + T / 16.65) * Math.cbrt(W),
            expression: 't = K (1.236 + T/16.65) ∛W',
            reference: COURSE_SHEET,
            spread: 0.3,
            valid: true,
          };
    case 'ductile iron':
      return {
        timeS: (T < 10 ? 2.08 : T <= 25 ? 2.67 : 2.97) * Math.sqrt(W),
        expression: 't = K₁ √W, K₁ 2.08 under 10 mm, 2.67 to 25 mm, 2.97 beyond',
        reference: RAO,
        spread: 0.4,
        valid: W <= 450,
      };
    case 'steel':
      return {
        timeS: (2.4335 - 0.3953 * Math.log10(W)) * Math.sqrt(W),
        expression: 't = (2.4335 − 0.3953 log₁₀ W) √W',
        reference: RAO,
        spread: 0.3,
        valid: W <= 10000,
      };
    case 'aluminium':
    case 'zinc':
    case 'tin':
    case 'silver':
      return {
        timeS: thinFactor(T) * Math.cbrt(W),
        expression: 't = K₃ ∛W, K₃ by section, made for thin work of heavier metal and stretched to this one',
        reference: COMMON_PRACTICE,
        spread: 0.5,
        valid: W <= 450 && T <= 15,
      };
    default:
      return {
        timeS: copperFactor(alloy, gate) * Math.cbrt(W),
        expression: 't = K₂ ∛W, K₂ 1.3 top, 1.8 bottom, 1.9 brass, 2.8 tin bronze',
        reference: RAO,
        spread: 0.4,
        valid: W <= 450,
      };
  }
}

/**
 * Pouring time by the rule for the metal. Rules of this kind were fitted to shops; treat the range as the answer.
 *
 * @throws OddsideError `unknown-alloy`, `bad-number`.
 */
export function pouringTime(options: PouringTimeOptions): PouringTimeResult {
  const given = resolveOptions('pouringTime', POURING_TIME_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const massKg = positive(given, 'massKg', 'kg');
  const section = positive(given, 'section', 'mm');
  const fluidity = between(given, 'fluidity', '1 = 40 in', 0.1, 2);
  checkChoice('pouringTime: gate', given.gate, ['top', 'parting', 'bottom']);
  const rule = ruleFor(alloy, massKg, section, given.gate!, fluidity);
  const findings: Finding[] = [];
  if (!rule.valid) {
    findings.push({
      code: 'pouring-time-outside-rule',
      severity: 'warning',
      message: `The pouring-time rule was not made for ${massKg.toFixed(1)} kg of ${alloy.name} with a ${section} mm section.`,
      remedy: 'Take the time from a similar casting you have poured.',
    });
  }
  if (alloy.family === 'grey iron' && massKg > 450) {
    findings.push({
      code: 'pouring-rules-disagree',
      severity: 'warning',
      message:
        'The two rules for grey iron meet badly: at 450 kg the one for heavier castings gives about a third of the other.',
      remedy: 'Take the time from a similar casting you have poured.',
    });
  }
  if (section < alloy.leastSection.value) {
    findings.push({
      code: 'section-too-thin',
      severity: 'warning',
      message: `A section of ${section} mm is under the ${alloy.leastSection.value} mm that ${alloy.name} can be expected to fill in green sand.`,
      remedy: 'Pour hot and fast with more gates, thicken the wall, or expect misruns.',
    });
  }
  return {
    timeS: give(rule.timeS, rule.spread),
    workings: [
      working(
        `pouring time of ${alloy.family}`,
        rule.expression,
        [
          quantity('metal poured W', massKg, 'kg'),
          quantity('section T', section, 'mm'),
          quantity('fluidity K', fluidity, '1'),
        ],
        quantity('time', rule.timeS, 's'),
        rule.reference,
      ),
    ],
    findings,
  };
}
