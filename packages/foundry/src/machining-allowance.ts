/** Metal left on for machining, and the raw size it leads to. */
import { checkChoice, checkNumber, type Finding, resolveOptions } from '@oddside/core';
import { castingTolerance } from './casting-tolerance.js';
import { notNegative, positive } from './check-option.js';
import { fromMemory, seen } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** Grade of required machining allowance, fine to coarse. A and B by special agreement only. */
export type AllowanceGrade = 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G' | 'H' | 'J' | 'K';

const GRADES = 'ABCDEFGHJK';
const ISO = fromMemory('ISO 8062-3, required machining allowances');
const SHOP = seen('Dooley, Applied Science for Metal Workers: 1/16–1/8 in on small iron or brass; 1/4–1/2 in on steel');

/** Upper end of the largest finished dimension, mm, then the allowance of each grade, mm per surface. */
const TABLE: readonly (readonly number[])[] = Object.freeze([
  [40, 0.1, 0.1, 0.2, 0.3, 0.4, 0.5, 0.5, 0.7, 1, 1.4],
  [63, 0.1, 0.2, 0.3, 0.3, 0.4, 0.5, 0.7, 1, 1.4, 2],
  [100, 0.2, 0.3, 0.4, 0.5, 0.7, 1, 1.4, 2, 2.8, 4],
  [160, 0.3, 0.4, 0.5, 0.8, 1.1, 1.5, 2.2, 3, 4, 6],
  [250, 0.3, 0.5, 0.7, 1, 1.4, 2, 2.8, 4, 5.5, 8],
  [400, 0.4, 0.7, 0.9, 1.3, 1.8, 2.5, 3.5, 5, 7, 10],
  [630, 0.5, 0.8, 1.1, 1.5, 2.2, 3, 4, 6, 9, 12],
  [1000, 0.6, 0.9, 1.2, 1.8, 2.5, 3.5, 5, 7, 10, 14],
  [1600, 0.7, 1, 1.4, 2, 2.8, 4, 5.5, 8, 11, 16],
  [2500, 0.8, 1.1, 1.6, 2.2, 3.2, 4.5, 6, 9, 13, 18],
  [4000, 0.9, 1.3, 1.8, 2.5, 3.5, 5, 7, 10, 14, 20],
  [6300, 1, 1.4, 2, 2.8, 4, 5.5, 8, 11, 16, 22],
  [10000, 1.1, 1.5, 2.2, 3, 4.5, 6, 9, 12, 17, 24],
]);

/** What `machiningAllowance` takes. */
export interface MachiningAllowanceOptions {
  /** Finished size to be machined, mm. */
  readonly finishedSize: number;
  /** Largest overall dimension of the finished casting, mm; one allowance holds for the whole casting. Default: `finishedSize`. */
  readonly largestSize?: number;
  /** Default `H`, the coarse end for hand-moulded irons, copper and light alloys (F–H; steel G–K). */
  readonly grade?: AllowanceGrade;
  /** `outside`: both sides cut. `hole`: an inside size, cut all round. `one side`. Default `outside`. */
  readonly kind?: 'outside' | 'hole' | 'one side';
  /** Grade of casting tolerance, 1–16. Default 13, clay-bonded hand moulding. */
  readonly toleranceGrade?: number;
  /** Extra on a face that lies in the cope, where dirt gathers, mm. Default 0; 1.5–3 is usual. */
  readonly copeFaceExtra?: number;
}

/** The allowance and the raw size to cast. */
export interface MachiningAllowance extends FoundryResult {
  /** Per machined surface, mm. */
  readonly allowance: number;
  /** Full width of the casting tolerance, mm. */
  readonly toleranceBand: number;
  /** Size to cast, mm. */
  readonly rawSize: number;
  /** False: the table is from memory. Check it in the standard before work by drawing. */
  readonly reliable: boolean;
}

export const MACHINING_ALLOWANCE_DEFAULTS: DefaultsOf<MachiningAllowanceOptions> = Object.freeze({
  finishedSize: undefined,
  largestSize: undefined,
  grade: 'H',
  kind: 'outside',
  toleranceGrade: 13,
  copeFaceExtra: 0,
});

/** Raw size: R = F + 2 RMA + band/2 outside, F − 2 RMA − band/2 for a hole, F + RMA + band/2 with one side cut. */
export function machiningAllowance(options: MachiningAllowanceOptions): MachiningAllowance {
  const given = resolveOptions('machiningAllowance', MACHINING_ALLOWANCE_DEFAULTS, options);
  const finished = positive(given, 'finishedSize', 'mm');
  const largest = checkNumber('largestSize (mm, at least finishedSize, at most 10000)', given.largestSize ?? finished, {
    min: finished,
    max: 10000,
  });
  const column = GRADES.indexOf(checkChoice('machiningAllowance: grade', given.grade, [...GRADES])) + 1;
  const extra = notNegative(given, 'copeFaceExtra', 'mm', 20);
  const allowance = TABLE.find(([upTo]) => largest <= upTo!)![column]!;
  const tolerance = castingTolerance({ nominal: finished, grade: given.toleranceGrade });
  const half = tolerance.band / 2;
  const kind = checkChoice('machiningAllowance: kind', given.kind, ['outside', 'hole', 'one side']);
  const sign = kind === 'hole' ? -1 : 1;
  const rawSize = finished + sign * (kind === 'one side' ? 1 : 2) * allowance + sign * half + sign * extra;
  const findings: Finding[] = [
    {
      code: 'allowance-from-memory',
      severity: 'note',
      message: 'The table of machining allowances is from memory; check it in the standard for work by drawing.',
    },
    ...tolerance.findings,
  ];
  if (rawSize <= 0) {
    findings.push({
      code: 'hole-not-cast',
      severity: 'warning',
      message: `A hole of ${finished} mm leaves nothing to core after the allowance.`,
      remedy: 'Cast it solid and drill it.',
    });
  }
  if (column <= 2) {
    findings.push({
      code: 'grade-by-agreement',
      severity: 'warning',
      message: `Grade ${given.grade} is for special agreement only; sand moulds do not hold it.`,
      remedy: 'Use F to H, for steel G to K.',
    });
  }
  return {
    allowance,
    toleranceBand: tolerance.band,
    rawSize: Math.max(0, rawSize),
    reliable: false,
    workings: [
      ...tolerance.workings,
      working(
        `raw size, ${given.kind}`,
        'R = F ± (2 or 1) RMA ± band/2',
        [
          quantity('finished size F', finished, 'mm'),
          quantity('allowance RMA', allowance, 'mm'),
          quantity('tolerance band', tolerance.band, 'mm'),
          quantity('extra on a cope face', extra, 'mm'),
        ],
        quantity('raw size', rawSize, 'mm'),
        ISO,
      ),
      working(
        'shop allowance for comparison',
        '1.6–3.2 mm on small iron, brass and bronze; 3–5 mm on steel, 6–13 mm in old books',
        [quantity('allowance RMA', allowance, 'mm')],
        quantity('usual', 2.4, 'mm'),
        SHOP,
      ),
    ],
    findings,
  };
}
