/** Draft added to a pattern, and metal lost in fettling and finishing. */
import {
  checkChoice,
  degrees,
  type Finding,
  radians,
  type Ranged,
  type Reference,
  resolveOptions,
} from '@oddside/core';
import { between, notNegative } from './check-option.js';
import { COMMON_PRACTICE, fromMemory, GEOMETRY } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** What `draftAllowance` takes. */
export interface DraftAllowanceOptions {
  /** Height of the drawn face, mm. */
  readonly height: number;
  /** Draft in degrees. Default: by height, surface and pattern. */
  readonly draftDeg?: number;
  /** Default `outside`. */
  readonly surface?: 'outside' | 'inside';
  /** `wood` table, `hard` (metal or plastic) table, or `one-off`: 2° outside, 3° inside. Default `one-off`. */
  readonly pattern?: 'wood' | 'hard' | 'one-off';
}

/** What the draft adds. */
export interface DraftAllowance extends FoundryResult {
  readonly draftDeg: number;
  /** Per side at the parting, mm: height × tan(draft). */
  readonly perSide: number;
}

export const DRAFT_ALLOWANCE_DEFAULTS: DefaultsOf<DraftAllowanceOptions> = Object.freeze({
  height: undefined,
  draftDeg: undefined,
  surface: 'outside',
  pattern: 'one-off',
});

const BY_HEIGHT: Reference = fromMemory('draft table by height in Rao, Manufacturing Technology');
/** Up to height mm: wood outside, wood inside, hard outside, hard inside, degrees. */
const DRAFTS: readonly (readonly [number, number, number, number, number])[] = Object.freeze([
  [25, 3, 3, 1.5, 3],
  [50, 1.5, 2.5, 1, 2],
  [100, 1, 1.5, 0.75, 1],
  [200, 0.75, 1, 0.5, 1],
  [800, 0.5, 1, 0.5, 0.75],
]);

/** Draft angle from a taper such as 1/8 in per ft: give both in the same unit. Degrees. */
export const draftFromTaper = (across: number, along: number): number => degrees(Math.atan2(across, along));

/** What a draft adds at the foot of a face. */
export function draftAllowance(options: DraftAllowanceOptions): DraftAllowance {
  const given = resolveOptions('draftAllowance', DRAFT_ALLOWANCE_DEFAULTS, options);
  const height = notNegative(given, 'height', 'mm');
  const findings: Finding[] = [];
  let draftDeg: number;
  let reference: Reference = GEOMETRY;
  const inside = checkChoice('draftAllowance: surface', given.surface, ['outside', 'inside']) === 'inside';
  const pattern = checkChoice('draftAllowance: pattern', given.pattern, ['wood', 'hard', 'one-off']);
  if (given.draftDeg !== undefined) {
    draftDeg = notNegative(given, 'draftDeg', '0–45', 45);
  } else if (pattern === 'one-off') {
    draftDeg = inside ? 3 : 2;
    reference = COMMON_PRACTICE;
  } else {
    const row = DRAFTS.find(([upTo]) => height <= upTo) ?? DRAFTS[DRAFTS.length - 1]!;
    draftDeg = row[(pattern === 'wood' ? 1 : 3) + (inside ? 1 : 0)]!;
    reference = BY_HEIGHT;
    if (height > 800) {
      findings.push({
        code: 'draft-table-exceeded',
        severity: 'note',
        message: 'The draft table ends at 800 mm; its last row is used.',
      });
    }
  }
  if (draftDeg < 1) {
    findings.push({
      code: 'little-draft',
      severity: 'note',
      message: `${draftDeg.toFixed(2)}° draws from a smooth, sealed pattern with care; a rough or printed one wants 2° or more.`,
    });
  }
  const perSide = height * Math.tan(radians(draftDeg));
  return {
    draftDeg,
    perSide,
    workings: [
      working(
        'draft added per side',
        'h tan θ',
        [quantity('height', height, 'mm'), quantity('draft', draftDeg, '°')],
        quantity('per side', perSide, 'mm'),
        reference,
      ),
    ],
    findings,
  };
}

/** How far a surface is taken. */
export type Finish = 'as cast' | 'blasted' | 'ground' | 'filed and polished';

/** What `finishAllowance` takes. */
export interface FinishAllowanceOptions {
  /** Default `as cast`. */
  readonly finish?: Finish;
  /** Total area of gates and feeder necks to be cut off, mm²; each leaves a stub. Default 0. */
  readonly cutAreaMm2?: number;
  /** Surface to be finished, mm². Default 0. */
  readonly areaMm2?: number;
  /** kg/m³ of the casting, for the mass. */
  readonly densityKgM3: number;
}

/** What fettling and finishing take off. */
export interface FinishAllowance extends FoundryResult {
  /** To leave on each finished face, mm. */
  readonly perFace: Ranged;
  /** Stub left by the saw before it is ground flush, mm. */
  readonly stub: Ranged;
  /** Ground and polished away, kg. */
  readonly removedMassKg: Ranged;
}

export const FINISH_ALLOWANCE_DEFAULTS: DefaultsOf<FinishAllowanceOptions> = Object.freeze({
  finish: 'as cast',
  cutAreaMm2: 0,
  areaMm2: 0,
  densityKgM3: undefined,
});

const FACE: Readonly<Record<Finish, Ranged>> = Object.freeze({
  'as cast': Object.freeze({ value: 0, low: 0, high: 0 }),
  blasted: Object.freeze({ value: 0.05, low: 0, high: 0.1 }),
  ground: Object.freeze({ value: 0.4, low: 0.2, high: 0.8 }),
  'filed and polished': Object.freeze({ value: 0.5, low: 0.3, high: 1 }),
});
const STUB: Ranged = Object.freeze({ value: 2, low: 1, high: 3 });

/** Metal to leave for fettling and finishing. Common practice, no source. */
export function finishAllowance(options: FinishAllowanceOptions): FinishAllowance {
  const given = resolveOptions('finishAllowance', FINISH_ALLOWANCE_DEFAULTS, options);
  const known = Object.keys(FACE) as (keyof typeof FACE)[];
  const perFace = FACE[checkChoice('finishAllowance: finish', given.finish, known, 'unknown-name')];
  const area = notNegative(given, 'areaMm2', 'mm²');
  const cut = notNegative(given, 'cutAreaMm2', 'mm²');
  const density = between(given, 'densityKgM3', 'kg/m³', 100, 25000);
  const at = (end: keyof Ranged): number => (perFace[end] * area + STUB[end] * cut) * density * 1e-9;
  const removedMassKg = { value: at('value'), low: at('low'), high: at('high') };
  return {
    perFace,
    stub: STUB,
    removedMassKg,
    workings: [
      working(
        `fettling and finish, ${given.finish}`,
        '(per face × area + stub × cut area) × density',
        [quantity('surface', area, 'mm²'), quantity('cut', cut, 'mm²'), quantity('per face', perFace.value, 'mm')],
        quantity('removed', removedMassKg.value, 'kg'),
        COMMON_PRACTICE,
      ),
    ],
    findings: [],
  };
}
