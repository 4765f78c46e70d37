/** Linear tolerance of castings by grade (DCTG). */
import { checkChoice, checkNumber, type Finding, type Reference, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { isIron } from './alloys/is-iron.js';
import { positive } from './check-option.js';
import { fromMemory, seen } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

const SEEN = seen('ISO 8062-3:2007, table 2');
const MEMORY = fromMemory('ISO 8062-3:2007, table 2 (cell not seen)');

/** Upper end of the nominal, mm, then the full band of grades 1 to 16, mm; 0 where the standard gives none. */
const TABLE: readonly (readonly number[])[] = Object.freeze([
  [10, 0.09, 0.13, 0.18, 0.26, 0.36, 0.52, 0.74, 1, 1.5, 2, 2.8, 4.2, 0, 0, 0, 0],
  [16, 0.1, 0.14, 0.2, 0.28, 0.38, 0.54, 0.78, 1.1, 1.6, 2.2, 3, 4.4, 0, 0, 0, 0],
  [25, 0.11, 0.15, 0.22, 0.3, 0.42, 0.58, 0.82, 1.2, 1.7, 2.4, 3.2, 4.6, 6, 8, 10, 12],
  [40, 0.12, 0.17, 0.24, 0.32, 0.46, 0.64, 0.9, 1.3, 1.8, 2.6, 3.6, 5, 7, 9, 11, 14],
  [63, 0.13, 0.18, 0.26, 0.36, 0.5, 0.7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 10, 12, 16],
  [100, 0.14, 0.2, 0.28, 0.4, 0.56, 0.78, 1.1, 1.6, 2.2, 3.2, 4.4, 6, 9, 11, 14, 18],
  [160, 0.15, 0.22, 0.3, 0.44, 0.62, 0.88, 1.2, 1.8, 2.5, 3.6, 5, 7, 10, 12, 16, 20],
  [250, 0, 0.24, 0.34, 0.5, 0.7, 1, 1.4, 2, 2.8, 4, 5.6, 8, 11, 14, 18, 22],
  [400, 0, 0, 0.4, 0.56, 0.78, 1.1, 1.6, 2.2, 3.2, 4.4, 6.2, 9, 12, 16, 20, 25],
  [630, 0, 0, 0, 0.64, 0.9, 1.2, 1.8, 2.6, 3.6, 5, 7, 10, 14, 18, 22, 28],
  [1000, 0, 0, 0, 0.72, 1, 1.4, 2, 2.8, 4, 6, 8, 11, 16, 20, 25, 32],
]);

/** What `castingTolerance` takes. */
export interface CastingToleranceOptions {
  /** mm, up to 1000. */
  readonly nominal: number;
  /** DCTG grade, 1–16. Default 13. */
  readonly grade?: number;
}

/** The tolerance. */
export interface CastingTolerance extends FoundryResult {
  /** Full width, mm: the size may be half of it either way. */
  readonly band: number;
  readonly low: number;
  readonly high: number;
  readonly reference: Reference;
}

export const CASTING_TOLERANCE_DEFAULTS: DefaultsOf<CastingToleranceOptions> = Object.freeze({
  nominal: undefined,
  grade: 13,
});

/** Tolerance band by nominal size and grade. Where the standard has no cell the next grade or size that has one is used, and said. */
export function castingTolerance(options: CastingToleranceOptions): CastingTolerance {
  const given = resolveOptions('castingTolerance', CASTING_TOLERANCE_DEFAULTS, options);
  const nominal = positive(given, 'nominal', 'mm', 1000);
  const grade = checkNumber('grade (1–16)', given.grade, { min: 1, max: 16, whole: true });
  const row = TABLE.findIndex(([upTo]) => nominal <= upTo!);
  const findings: Finding[] = [];
  // A missing coarse cell belongs to a small size: the next larger size is looser. A missing fine one: the next grade.
  let [at, column] = [row, grade];
  while (TABLE[at]![column] === 0) {
    if (grade > 12) at += 1;
    else column += 1;
  }
  if (at !== row || column !== grade) {
    findings.push({
      code: 'no-such-tolerance',
      severity: 'warning',
      message: `The table has no grade ${grade} at ${nominal} mm; the nearest looser cell is used.`,
      remedy: 'Small dimensions are expected one to three grades finer.',
    });
  }
  const band = TABLE[at]![column]!;
  const reference = at === 10 || (at === 9 && column >= 14) ? MEMORY : SEEN;
  return {
    band,
    low: nominal - band / 2,
    high: nominal + band / 2,
    reference,
    workings: [
      working(
        'casting tolerance by grade',
        'table of full bands by nominal size',
        [quantity('nominal', nominal, 'mm'), quantity('grade', grade, '1')],
        quantity('band', band, 'mm'),
        reference,
      ),
    ],
    findings,
  };
}

/** What `expectedGrades` takes. */
export interface ExpectedGradesOptions {
  readonly alloy: string | Alloy;
  /** Default `clay-bonded`. */
  readonly mould?: 'clay-bonded' | 'chemically bonded';
  /** mm; small dimensions come finer. Default 100. */
  readonly nominal?: number;
}

/** The grades to expect. */
export interface ExpectedGrades extends FoundryResult {
  readonly finest: number;
  readonly coarsest: number;
}

export const EXPECTED_GRADES_DEFAULTS: DefaultsOf<ExpectedGradesOptions> = Object.freeze({
  alloy: undefined,
  mould: 'clay-bonded',
  nominal: 100,
});

const EXPECTED = seen('ISO/CD 8062-2, table A.2 (committee draft)');

/** Tolerance grades that hand-moulded single castings reach. Metals outside the table are taken as copper alloys. */
export function expectedGrades(options: ExpectedGradesOptions): ExpectedGrades {
  const given = resolveOptions('expectedGrades', EXPECTED_GRADES_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const { family } = alloy;
  const nominal = positive(given, 'nominal', 'mm', 1000);
  const mould = checkChoice('expectedGrades: mould', given.mould, ['clay-bonded', 'chemically bonded']);
  const clay = mould === 'clay-bonded';
  const base =
    family === 'aluminium'
      ? clay
        ? [11, 13]
        : [10, 13]
      : clay
        ? [13, 15]
        : family === 'steel'
          ? [12, 14]
          : isIron(alloy)
            ? [11, 14]
            : [10, 13];
  const finer = nominal <= 10 ? 3 : nominal <= 16 ? 2 : nominal <= 25 ? 1 : 0;
  const findings: Finding[] = [];
  if (family === 'zinc' || family === 'tin' || family === 'silver') {
    findings.push({
      code: 'grade-by-analogy',
      severity: 'note',
      message: `The table has no row for ${family} alloys; that of copper alloys is used.`,
    });
  }
  const [finest, coarsest] = [base[0]! - finer, base[1]! - finer];
  return {
    finest,
    coarsest,
    workings: [
      working(
        'grades of hand-moulded single castings',
        'table by mould and metal; finer by 1, 2, 3 at 25, 16, 10 mm and less',
        [quantity('nominal', nominal, 'mm')],
        quantity('coarsest grade', coarsest, '1'),
        EXPECTED,
      ),
    ],
    findings,
  };
}
