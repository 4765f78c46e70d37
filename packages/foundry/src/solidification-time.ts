/** Freezing time by Chvorinov's rule. */
import { checkNumber, type Finding, OddsideError, type Ranged, resolveOptions, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { mouldConstant } from './mould-constant.js';
import { derived, fromMemory } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, quantity, working } from './result.js';

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
  const { modulus, volumeMm3, coolingAreaMm2 } = given;
  if (modulus !== undefined) return checkNumber('modulus (mm)', modulus, { min: 0, above: true });
  if (volumeMm3 === undefined || coolingAreaMm2 === undefined) {
    throw new OddsideError('bad-option', `${caller} needs modulus in mm, or volumeMm3 and coolingAreaMm2.`);
  }
  return (
    checkNumber('volumeMm3 (mm³)', volumeMm3, { min: 0, above: true }) /
    checkNumber('coolingAreaMm2 (mm²)', coolingAreaMm2, { min: 0, above: true })
  );
}

/** t = B·Mⁿ. With a computed constant the time is good to ±50 %; with your own, as good as that constant. */
export function solidificationTime(options: SolidificationOptions): SolidificationResult {
  const given = resolveOptions('solidificationTime', SOLIDIFICATION_DEFAULTS, options);
  const modulus = readModulus('solidificationTime', given);
  const exponent = checkNumber('exponent', given.exponent, { min: 1, max: 2.5 });
  const workings: Working[] = [];
  const findings: Finding[] = [];
  let constant: Ranged;
  if (given.constantSMm2 !== undefined) {
    constant = exactly(checkNumber('constantSMm2 (s/mm²)', given.constantSMm2, { min: 0, above: true }));
  } else if (given.alloy !== undefined) {
    const computed = mouldConstant({ alloy: given.alloy, superheatC: given.superheatC });
    constant = computed.constantSMm2;
    workings.push(...computed.workings);
    findings.push(...computed.findings);
  } else {
    throw new OddsideError('bad-option', 'solidificationTime needs an alloy, or constantSMm2 in s/mm².');
  }
  const power = modulus ** exponent;
  const timeS = { value: constant.value * power, low: constant.low * power, high: constant.high * power };
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
  const timeS = checkNumber('timeS (s)', given.timeS, { min: 0, above: true });
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
