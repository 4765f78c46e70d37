/**
 * Contraction: how big the pattern must be for a wanted casting, and what a copied object will come out at.
 *
 * Two definitions are in use. The **shrink rule** (ours, the default) takes the share of the *casting*:
 * pattern = casting × (1 + s), as a rule made oversize does. The other takes it of the *pattern*:
 * pattern = casting / (1 − s). At 2 % on 600 mm they differ by a quarter of a millimetre.
 */
import {
  checkChoice,
  checkNumber,
  type Finding,
  OddsideError,
  plainNumber,
  type Ranged,
  resolveOptions,
} from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { notNegative, positive } from './check-option.js';
import { derived, RICHARDS, seen, WEST } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, quantity, working } from './result.js';

/** `casting`: a share of the casting's length (shrink rule, ours). `pattern`: a share of the pattern's length. */
export type ContractionBasis = 'casting' | 'pattern';

/** What both directions take. */
export interface ContractionOptions {
  /** Id, name or number of the alloy, or the alloy. Needed unless `contraction` is given. */
  readonly alloy?: string | Alloy;
  /** Free linear contraction, 0–0.1, in place of the alloy's own. */
  readonly contraction?: number;
  /** Which length the share is taken of. Default `casting`, the shrink rule. */
  readonly basis?: ContractionBasis;
  /** Lengths in mm, one or more; with three they are x, y, z. */
  readonly sizes: readonly number[];
  /**
   * The share of free contraction that takes place, 0–1, for all lengths or one each. Default 1 (nothing hinders it).
   * Cores, ribs and deep pockets of sand hold a casting back: 0.6–0.8 is usual, 0 has been seen.
   */
  readonly freeShare?: number | readonly number[];
  /** By how much rapping widens the mould in each direction, mm over the whole length. Default 0. */
  readonly rapping?: number;
}

/** Sizes before and after. */
export interface ContractionResult extends FoundryResult {
  readonly basis: ContractionBasis;
  /** Free linear contraction used, as a share, with its range. */
  readonly contraction: Ranged;
  /** What the pattern measures, mm, one per given length. */
  readonly patternSizes: readonly Ranged[];
  /** What the casting measures, mm, one per given length. */
  readonly castingSizes: readonly Ranged[];
  /** Pattern length over casting length from contraction alone, one per given length. */
  readonly scales: readonly number[];
  /** Pattern volume over casting volume from contraction alone: the product of three scales. */
  readonly volumeScale: number;
}

export const CONTRACTION_DEFAULTS: DefaultsOf<ContractionOptions> = Object.freeze({
  alloy: undefined,
  contraction: undefined,
  basis: 'casting',
  sizes: undefined,
  freeShare: 1,
  rapping: 0,
});

/** Scatter of contraction from one mould to the next, as a share of the length. */
const SCATTER = 0.0025;
/** Under this size, mm (one foot), rapping about makes up for contraction. */
const RAPPING_CANCELS = 304.8;

interface Prepared {
  basis: ContractionBasis;
  contraction: Ranged;
  sizes: readonly number[];
  shares: number[];
  rapping: number;
  findings: Finding[];
}

function prepare(caller: string, options: ContractionOptions): Prepared {
  const given = resolveOptions(caller, CONTRACTION_DEFAULTS, options);
  const basis = checkChoice(`${caller}: basis`, given.basis, ['casting', 'pattern']);
  const sizes = given.sizes ?? [];
  if (!Array.isArray(sizes) || sizes.length === 0) {
    throw new OddsideError('bad-option', `${caller}: sizes must be a list of lengths in mm, such as [300].`);
  }
  sizes.forEach((size, i) => checkNumber(`sizes[${i}] (mm)`, size, { min: 0, above: true }));
  const free = given.freeShare!;
  const shares: number[] = Array.isArray(free) ? [...free] : sizes.map(() => free as number);
  if (shares.length !== sizes.length) {
    throw new OddsideError('bad-option', `${caller}: freeShare must be one number, or one for each of sizes.`);
  }
  shares.forEach((share) => checkNumber('freeShare (0–1)', share, { min: 0, max: 1 }));
  const rapping = notNegative(given, 'rapping', 'mm');
  const findings: Finding[] = [];
  let contraction: Ranged;
  if (given.contraction !== undefined) {
    const value = notNegative(given, 'contraction', '0–0.1', 0.1);
    contraction = { value, low: Math.max(0, value - SCATTER), high: value + SCATTER };
  } else {
    const own = resolveAlloy(given.alloy).contraction;
    contraction = {
      value: own.value,
      low: Math.max(0, Math.min(own.low, own.value - SCATTER)),
      high: Math.max(own.high, own.value + SCATTER),
    };
  }
  if (Math.max(...sizes) < RAPPING_CANCELS && rapping === 0 && contraction.value > 0) {
    findings.push({
      code: 'rapping-may-cancel',
      severity: 'note',
      message: `Under about 305 mm in every direction, rapping a loose pattern may make up for contraction.`,
      remedy: 'Give rapping in mm if the pattern will be rapped hard, or cast a trial piece and measure it.',
    });
  }
  if (Math.min(...shares) < 1) {
    findings.push({
      code: 'hindered-contraction',
      severity: 'note',
      message: 'Hindered contraction is a judgement: 60–80 % of free contraction is usual, none at all has been seen.',
      remedy: 'Measure a first casting and correct the pattern.',
    });
  }
  return { basis, contraction, sizes, shares, rapping, findings };
}

/** Pattern over casting, from contraction alone. */
const scaleOf = (basis: ContractionBasis, share: number): number => (basis === 'casting' ? 1 + share : 1 / (1 - share));

function finish(
  made: Prepared,
  length: (size: number, scale: number) => number,
  wanted: 'pattern' | 'casting',
): ContractionResult {
  const { basis, contraction, sizes, shares, rapping, findings } = made;
  const scales = shares.map((share) => scaleOf(basis, contraction.value * share));
  const ends = (size: number, share: number): Ranged => {
    const at = (s: number): number => length(size, scaleOf(basis, s * share));
    const [a, b] = [at(contraction.low), at(contraction.high)];
    return { value: at(contraction.value), low: Math.min(a, b), high: Math.max(a, b) };
  };
  const worked = sizes.map((size, i) => ends(size, shares[i]!));
  const known = sizes.map(exactly);
  const sign = basis === 'casting' ? 'casting × (1 + s)' : 'casting / (1 − s)';
  return {
    basis,
    contraction,
    patternSizes: wanted === 'pattern' ? worked : known,
    castingSizes: wanted === 'pattern' ? known : worked,
    scales,
    volumeScale: scales.length === 3 ? scales[0]! * scales[1]! * scales[2]! : scales[0]! ** 3,
    workings: sizes.map((size, i) =>
      working(
        `contraction, share of the ${basis}'s length`,
        `pattern = ${sign}${rapping > 0 ? ' − rapping' : ''}`,
        [
          quantity(wanted === 'pattern' ? 'casting' : 'pattern', size, 'mm'),
          quantity('contraction s', contraction.value * shares[i]!, '1'),
          ...(rapping > 0 ? [quantity('rapping', rapping, 'mm')] : []),
        ],
        quantity(wanted, worked[i]!.value, 'mm'),
        basis === 'casting' ? RICHARDS : seen('German foundry lexicon: percentage of the pattern size'),
      ),
    ),
    findings,
  };
}

/** How big the pattern must be for castings of these sizes. Cost: nothing to speak of. */
export function patternFromCasting(options: ContractionOptions): ContractionResult {
  const made = prepare('patternFromCasting', options);
  return finish(made, (size, scale) => size * scale - made.rapping, 'pattern');
}

/** What a casting from a pattern, or a copied object, of these sizes comes out at: smaller. */
export function castingFromPattern(options: ContractionOptions): ContractionResult {
  const made = prepare('castingFromPattern', options);
  const result = finish(made, (size, scale) => (size + made.rapping) / scale, 'casting');
  const [from, to] = [made.sizes[0]!, result.castingSizes[0]!.value];
  if (to >= from) return result;
  const small: Finding = {
    code: 'copy-comes-out-small',
    severity: 'note',
    message: `Used as it is, ${plainNumber(from, 4)} mm comes out at ${plainNumber(to, 4)} mm: a copied object casts smaller than itself.`,
    remedy: 'Make the pattern bigger by patternFromCasting where the size matters.',
  };
  return { ...result, findings: [small, ...result.findings] };
}

/** A test bar's evidence. */
export interface TestBarOptions {
  /** Length of the pattern, mm. */
  readonly pattern: number;
  /** Length of the casting, mm. */
  readonly casting: number;
}

/** Contraction read off a test bar. */
export interface TestBarResult extends FoundryResult {
  /** Share of the casting's length (shrink rule): what `contraction` takes by default. */
  readonly ofCasting: number;
  /** Share of the pattern's length. */
  readonly ofPattern: number;
  /** Casting over pattern. */
  readonly ratio: number;
}

export const TEST_BAR_DEFAULTS: DefaultsOf<TestBarOptions> = Object.freeze({ pattern: undefined, casting: undefined });

/** The contraction of an unknown metal from a bar cast in the same sand: measure pattern and casting. */
export function contractionFromTestBar(options: TestBarOptions): TestBarResult {
  const given = resolveOptions('contractionFromTestBar', TEST_BAR_DEFAULTS, options);
  const pattern = positive(given, 'pattern', 'mm');
  const casting = positive(given, 'casting', 'mm');
  const ofCasting = pattern / casting - 1;
  const findings: Finding[] = [];
  if (ofCasting < 0 || ofCasting > 0.035) {
    findings.push({
      code: 'contraction-beyond-metals',
      severity: 'warning',
      message: `A contraction of ${(ofCasting * 100).toFixed(2)} % of the casting is outside 0–3.5 %, which no foundry metal shows freely.`,
      remedy: 'Look for rapping, a mould that gave way, or a wrong measurement.',
    });
  }
  return {
    ofCasting,
    ofPattern: 1 - casting / pattern,
    ratio: casting / pattern,
    workings: [
      working(
        'contraction from a test bar',
        's = pattern / casting − 1',
        [quantity('pattern', pattern, 'mm'), quantity('casting', casting, 'mm')],
        quantity('contraction of the casting', ofCasting, '1'),
        derived('from the two measured lengths'),
      ),
      working(
        'scatter of contraction between moulds',
        '±0.25 % of the length',
        [quantity('casting', casting, 'mm')],
        quantity('scatter', casting * SCATTER, 'mm'),
        WEST,
      ),
    ],
    findings,
  };
}
