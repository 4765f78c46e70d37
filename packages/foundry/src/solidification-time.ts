/** Freezing time by Chvorinov's rule. */
import { type Finding, OddsideError, type Ranged, resolveOptions, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { between, positive } from './check-option.js';
import { mouldConstant } from './mould-constant.js';
import { derived, fromMemory } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, mapRange, quantity, working } from './result.js';

/** What `solidificationTime` takes: a modulus (or volume and cooling area), and an alloy or a known constant. */
export interface SolidificationOptions {
  /** mm. */
  readonly modulus?: number;
  readonly volumeMm3?: number;
  readonly coolingAreaMm2?: number;
  readonly alloy?: string | Alloy;
  /** Degrees above the liquidus as the mould comes full. Default 50. */
  readonly superheatC?: number;
  /** Mould constant, s/mm² (see `minutesPerCm2`), from a trial or a book, in place of the computed one. */
  readonly constantSMm2?: number;
  /** Exponent of the modulus. Default 2. */
  readonly exponent?: number;
}

/** How long it freezes. */
export interface SolidificationResult extends FoundryResult {
  readonly timeS: Ranged;
  readonly modulus: number;
  /** False when the constant was computed from properties. */
  readonly reliable: boolean;
}

export const SOLIDIFICATION_DEFAULTS: DefaultsOf<SolidificationOptions> = Object.freeze({
  modulus: undefined,
  volumeMm3: undefined,
  coolingAreaMm2: undefined,
  alloy: undefined,
  superheatC: 50,
  constantSMm2: undefined,
  exponent: 2,
});

const CHVORINOV = fromMemory("Chvorinov's rule; Campbell, Castings");

/** A modulus given as such, or as volume over cooling area. */
export function readModulus(
  caller: string,
  given: { modulus: number | undefined; volumeMm3: number | undefined; coolingAreaMm2: number | undefined },
): number {
  if (given.modulus !== undefined) return positive(given, 'modulus', 'mm');
  if (given.volumeMm3 === undefined || given.coolingAreaMm2 === undefined) {
    throw new OddsideError('bad-option', `${caller} needs modulus in mm, or volumeMm3 and coolingAreaMm2.`);
  }
  return positive(given, 'volumeMm3', 'mm³') / positive(given, 'coolingAreaMm2', 'mm²');
}

/** t = B·Mⁿ. With a computed constant the time is good to ±50 %; with your own, as good as that constant. */
export function solidificationTime(options: SolidificationOptions): SolidificationResult {
  const given = resolveOptions('solidificationTime', SOLIDIFICATION_DEFAULTS, options);
  const modulus = readModulus('solidificationTime', given);
  const exponent = between(given, 'exponent', '', 1, 2.5);
  const workings: Working[] = [];
  const findings: Finding[] = [];
  let constant: Ranged;
  if (given.constantSMm2 !== undefined) {
    constant = exactly(positive(given, 'constantSMm2', 's/mm²'));
  } else if (given.alloy !== undefined) {
    const computed = mouldConstant({ alloy: given.alloy, superheatC: given.superheatC });
    constant = computed.constantSMm2;
    workings.push(...computed.workings);
    findings.push(...computed.findings);
  } else {
    throw new OddsideError('bad-option', 'solidificationTime needs an alloy, or constantSMm2 in s/mm².');
  }
  const power = modulus ** exponent;
  const timeS = mapRange(constant, (b) => b * power);
  workings.push(
    working(
      'freezing time',
      't = B Mⁿ',
      [
        quantity('mould constant B', constant.value, 's/mm²'),
        quantity('modulus M', modulus, 'mm'),
        quantity('n', exponent, '1'),
      ],
      quantity('time', timeS.value, 's'),
      CHVORINOV,
    ),
  );
  return { timeS, modulus, reliable: given.constantSMm2 !== undefined, workings, findings };
}

/** What `constantFromTrial` takes: a casting whose freezing time you measured. */
export interface TrialOptions {
  readonly modulus?: number;
  readonly volumeMm3?: number;
  readonly coolingAreaMm2?: number;
  readonly timeS: number;
}

/** The mould constant of your own sand and metal. */
export interface TrialResult extends FoundryResult {
  /** s/mm². */
  readonly constantSMm2: number;
}

export const TRIAL_DEFAULTS: DefaultsOf<TrialOptions> = Object.freeze({
  modulus: undefined,
  volumeMm3: undefined,
  coolingAreaMm2: undefined,
  timeS: undefined,
});

/** The mould constant from one timed casting: B = t / M². */
export function constantFromTrial(options: TrialOptions): TrialResult {
  const given = resolveOptions('constantFromTrial', TRIAL_DEFAULTS, options);
  const modulus = readModulus('constantFromTrial', given);
  const timeS = positive(given, 'timeS', 's');
  const constantSMm2 = timeS / modulus ** 2;
  return {
    constantSMm2,
    workings: [
      working(
        'mould constant from a trial',
        'B = t / M²',
        [quantity('time', timeS, 's'), quantity('modulus', modulus, 'mm')],
        quantity('B', constantSMm2, 's/mm²'),
        derived('from the measured time'),
      ),
    ],
    findings: [],
  };
}
