/** Least sand over, under and round the pattern. */
import { type Finding, plainNumber, resolveOptions } from '@oddside/core';
import { positive } from './check-option.js';
import { seen } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, type SourcedRange, working } from './result.js';

/** Least sand round a pattern, mm, low to high end of the row. */
export interface SandMargins extends FoundryResult {
  readonly above: SourcedRange;
  readonly below: SourcedRange;
  readonly toWall: SourcedRange;
  readonly toSprue: SourcedRange;
  readonly betweenPatterns: SourcedRange;
  /** How far from the pattern a coped-out parting should run out to the flat joint. */
  readonly copingSkirt: SourcedRange;
}

type Ends = readonly [low: number, high: number];
const MARGINS: readonly (readonly [
  upToKg: number,
  above: Ends,
  below: Ends,
  wall: Ends,
  sprue: Ends,
  between: number,
])[] = Object.freeze([
  [5, [40, 50], [40, 50], [25, 30], [30, 40], 30],
  [10, [50, 60], [50, 60], [40, 40], [40, 40], 40],
  [25, [60, 70], [60, 70], [40, 50], [50, 50], 50],
  [50, [70, 90], [70, 90], [50, 50], [50, 50], 60],
  [100, [90, 100], [90, 100], [50, 70], [60, 60], 70],
]);

const FACING = seen(
  'Dooley, Applied Science for Metal Workers (38 mm); Tate & Stone, Foundry Practice (51 mm); table common practice',
);
const COPING = seen('Shop Practice, vol. 2 (early 1900s): coping runs out about 2½ in from the pattern');

/** What `sandMargins` takes. */
export interface SandMarginOptions {
  readonly castingMassKg: number;
}

export const SAND_MARGIN_DEFAULTS: DefaultsOf<SandMarginOptions> = Object.freeze({ castingMassKg: undefined });

/** Least sand by the casting's mass. Common practice; the facing depths of two old books support it. */
export function sandMargins(options: SandMarginOptions): SandMargins {
  const given = resolveOptions('sandMargins', SAND_MARGIN_DEFAULTS, options);
  const massKg = positive(given, 'castingMassKg', 'kg');
  const row = MARGINS.find(([upTo]) => massKg < upTo) ?? MARGINS[MARGINS.length - 1]!;
  const [, above, below, wall, sprue, between] = row;
  // The generous end is the default: sand is cheap beside a run-out.
  const range = ([low, high]: Ends): SourcedRange => ({ value: high, low, high, reference: FACING });
  const findings: Finding[] = [];
  if (massKg >= 100) {
    findings.push({
      code: 'sand-table-exceeded',
      severity: 'warning',
      message: `The table of sand margins ends at 100 kg; ${plainNumber(massKg)} kg needs more sand than its last row.`,
      remedy: 'Have a mould of this weight judged by someone who makes them.',
    });
  }
  return {
    above: range(above),
    below: range(below),
    toWall: range(wall),
    toSprue: range(sprue),
    betweenPatterns: range([between, between]),
    copingSkirt: { value: 64, low: 50, high: 80, reference: COPING },
    workings: [
      working(
        'sand margins by casting mass',
        'table by mass, never under 25 mm',
        [quantity('casting', massKg, 'kg')],
        quantity('above the pattern', above[1], 'mm'),
        FACING,
      ),
    ],
    findings,
  };
}
