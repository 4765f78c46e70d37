/** Will the pattern leave the sand along this draw, where would it part, and what is trapped: one draw, all its numbers. */
import {
  checkNumber,
  dot,
  plainNumber,
  radians,
  resolveOptions,
  type Finding,
  type Ranged,
  type Vec3,
} from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import type { ColumnField } from './column-field.js';
import { findFlatJoint, type FlatJoint } from './find-flat-joint.js';
import { measureColumns, type ColumnMeasures } from './measure-columns.js';
import { backDraftPerRadian } from './measure-turn.js';
import { measureDraft, type DraftMeasures } from './measure-draft.js';

/** What {@link assessDraw} takes. */
export interface AssessDrawOptions {
  /** Columns across the longer side of the shadow's box, 2–8192. Default 256. Cost grows with its square. */
  readonly columns: number;
  /** Draft asked for, degrees, 0–45. Default 2 (common practice for a one-off printed pattern, no source). */
  readonly requiredDraftDeg: number;
}

/** Defaults of {@link assessDraw}. */
export const ASSESS_DRAW_DEFAULTS: AssessDrawOptions = Object.freeze({ columns: 256, requiredDraftDeg: 2 });

/** One draw assessed. Heights are dot products with `direction`, mm from the file's own origin. */
export interface DrawAssessment {
  /** The cope's draw, unit vector; the drag is drawn along its opposite. */
  readonly direction: Vec3;
  /** Width of a column, mm: what is narrower may have been missed. */
  readonly column: number;
  readonly shadowAreaMm2: number;
  readonly shadowAreaErrorMm2: number;
  /** Volume between the highest and the lowest surface along the draw. */
  readonly envelopeMm3: number;
  /** Volume of metal as the columns see it; compare with the measured volume. */
  readonly solidMm3: number;
  /** Sand that no parting surface can free; 0 for a pattern that draws. */
  readonly backDraftMm3: number;
  /** Two standard errors of sampling, plus everything in columns that could not be read. */
  readonly backDraftErrorMm3: number;
  /**
   * Least and most it can be: sampling on both sides, and above it everything that columns through holes could hold
   * between the surfaces they do show. For an open scan this range says more than the figure.
   */
  readonly backDraftRangeMm3: Ranged;
  /** The most it changes when the draw is turned by a degree from this one, to first order, mm³ per degree. */
  readonly backDraftPerDegreeMm3: number;
  /** Mean stretches of metal per column; 1 exactly when the pattern draws. */
  readonly meanIntervals: number;
  /** Columns through holes in the surface. */
  readonly unbalancedColumns: number;
  /** The best flat joint. `misfitMm3` is what it traps on top of the back draft. */
  readonly flat: FlatJoint;
  /** How far the pattern reaches into cope and drag from the flat joint at `flat.height`. */
  readonly copeDepth: number;
  readonly dragDepth: number;
  readonly draft: DraftMeasures;
  /** False where the surface is open or overlaps itself along this draw, see `findings`. */
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}

/**
 * Assesses one draw.
 *
 * @param direction The cope's draw, any length but zero.
 * @returns The assessment. Cost: about 15 ns a triangle at 256 columns; memory 28 bytes a corner and 32 bytes a column.
 * @throws OddsideError `bad-direction`, `bad-number`, `bad-option`, `bad-pattern`, `no-triangles`.
 */
export function assessDraw(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<AssessDrawOptions>,
  scratch?: CastScratch,
): DrawAssessment {
  const { columns, requiredDraftDeg } = resolveOptions('assessDraw', ASSESS_DRAW_DEFAULTS, options);
  checkNumber('requiredDraftDeg (degrees)', requiredDraftDeg, { min: 0, max: 45 });
  // Who brings a scratch casts the same pattern again and again; it was checked when it was first seen.
  if (!scratch) checkPattern(pattern);
  const field = castColumns(pattern, direction, columns, scratch);
  const measures = measureColumns(field);
  const draft = measureDraft(pattern, field.direction, requiredDraftDeg);
  const joint = scratch?.engine.tally(field).joint ?? findFlatJoint(field);
  return describeDraw(field, measures, joint, draft);
}

function describeDraw(
  field: ColumnField,
  measures: ColumnMeasures,
  joint: FlatJoint,
  draft: DraftMeasures,
): DrawAssessment {
  const base = dot(field.origin, field.direction);
  const flat: FlatJoint = {
    low: joint.low + base,
    high: joint.high + base,
    height: joint.height + base,
    misfitMm3: joint.misfitMm3,
  };
  const findings = findingsOf(field, measures);
  return {
    direction: field.direction,
    column: field.column,
    shadowAreaMm2: measures.shadowAreaMm2,
    shadowAreaErrorMm2: measures.shadowAreaErrorMm2,
    envelopeMm3: measures.envelopeMm3,
    solidMm3: measures.solidMm3,
    backDraftMm3: measures.backDraftMm3,
    backDraftErrorMm3: measures.backDraftErrorMm3 + measures.unknownMm3 + measures.overlapMm3,
    backDraftRangeMm3: rangeOf(measures),
    backDraftPerDegreeMm3: radians(backDraftPerRadian(field)),
    meanIntervals: measures.meanIntervals,
    unbalancedColumns: measures.unbalancedColumns,
    flat,
    copeDepth: field.highest - joint.height,
    dragDepth: joint.height - field.lowest,
    draft,
    reliable: findings.length === 0,
    findings,
  };
}

function rangeOf({ backDraftMm3, backDraftErrorMm3, unknownMm3, overlapMm3 }: ColumnMeasures): Ranged {
  return {
    value: backDraftMm3,
    low: Math.max(0, backDraftMm3 - backDraftErrorMm3),
    high: backDraftMm3 + backDraftErrorMm3 + unknownMm3 + overlapMm3,
  };
}

function findingsOf(field: ColumnField, measures: ColumnMeasures): Finding[] {
  const findings: Finding[] = [];
  if (measures.unbalancedColumns > 0) {
    const share = measures.unbalancedColumns / measures.hitColumns;
    findings.push({
      code: 'unbalanced-columns',
      severity: share > 0.01 ? 'problem' : 'warning',
      message: `${measures.unbalancedColumns} of ${measures.hitColumns} columns along this draw pass through a hole or a flipped face; what they hold (up to ${plainNumber(measures.unknownMm3 / 1000)} cm³) is unknown and is counted in the error.`,
      remedy: 'Close the holes of the scan or mend its faces, then assess the draw again.',
    });
  }
  // Overlap shows as metal longer than the column itself; rounding alone stays far under this.
  if (measures.overlapMm3 > 1e-9 * Math.max(measures.envelopeMm3, field.column ** 3)) {
    findings.push({
      code: 'overlapping-metal',
      severity: 'warning',
      message: `At least ${plainNumber(measures.overlapMm3 / 1000)} cm³ of the pattern overlaps itself; it is counted twice as metal and can hide back draft.`,
      remedy: 'Unite the overlapping bodies into one before relying on volume or back draft.',
    });
  }
  return findings;
}
