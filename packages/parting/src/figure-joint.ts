/** The parting line and the shaped joint of one candidate, in the few figures that candidates are compared by. */
import { formatLength, formatVolume, partOfSteps, type Steps, type UnitSystem } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import type { CastScratch } from './cast-columns.js';
import { layJoint } from './lay-joint.js';
import type { PartingLine } from './parting-line.js';
import { criterionMaker, shareOf, type Criterion, type PartingScale } from './score-draw.js';
import type { PartingWeights } from './parting-weights.js';
import { lineSteps, TRACE_PARTING_LINE_DEFAULTS } from './trace-parting-line.js';

/** Figures of a candidate's line and joint; `tracePartingLine` and `shapePartingSurface` give all of both. */
export interface CandidateJoint {
  /** Length of the parting line, all loops, mm, and how many loops there are. */
  readonly lineLength: number;
  readonly loops: number;
  /** Highest point of the line above and lowest below the flat joint, mm. */
  readonly lineRise: number;
  readonly lineFall: number;
  /** Sand to take from a flat-struck drag and to add to it for the joint that follows the line, mm³, with their error. */
  readonly copeDownMm3: number;
  readonly buildUpMm3: number;
  readonly digErrorMm3: number;
  /** Whether sand at 30° reaches the whole line; where not, what is dug is a compromise. */
  readonly feasible: boolean;
}

/** Columns of the candidate's are taken this many at a time for the joint: enough to compare by. */
const COARSER = 4;
/** Slope of the joint, degrees, as `shapePartingSurface` has it. */
const SLOPE_DEG = 30;

/**
 * Works out the figures.
 *
 * @param sigma Noise of the surface, mm, see `estimateNoise`.
 * @param scratch Nothing else may cast with it until the figures are worked out.
 * @returns The figures and the line they are of. Cost: about five casts.
 */
export function* figureJoint(
  pattern: Pattern,
  assessment: DrawAssessment,
  sigma: number,
  scratch: CastScratch,
): Steps<{ joint: CandidateJoint; line: PartingLine }> {
  const { flat, column, direction } = assessment;
  const traced = { ...TRACE_PARTING_LINE_DEFAULTS, band: 2 * sigma, scratch };
  const line = yield* partOfSteps(lineSteps(pattern, assessment, traced), 0, 0.4);
  yield 0.4;
  const task = {
    slopeLimitDeg: SLOPE_DEG,
    jointHeight: flat.height,
    column: COARSER * column,
    // The rim of a scan is ragged to about a column; held to the letter it asks for cliffs that no founder would cut.
    band: column,
    margin: undefined,
    contourStep: undefined,
  };
  const { conflict, finish } = yield* partOfSteps(layJoint(pattern, direction, task, scratch), 0.4, 0.9);
  const { copeDownMm3, buildUpMm3, volumeErrorMm3 } = yield* partOfSteps(finish(false), 0.9, 1);
  const joint = {
    lineLength: line.length,
    loops: line.loops.length,
    lineRise: line.rise,
    lineFall: line.fall,
    copeDownMm3,
    buildUpMm3,
    digErrorMm3: volumeErrorMm3,
    feasible: conflict === null,
  };
  return { joint, line };
}

/** A line off the flat joint, or sand dug, by less than this share of the pattern is none. */
const NOTHING = 1e-6;

/** The criteria that come of the joint, in the order of `PartingWeights`. */
export function scoreJoint(
  joint: CandidateJoint,
  scale: PartingScale,
  weights: PartingWeights,
  show: UnitSystem,
): Criterion[] {
  const make = criterionMaker(weights);
  const { copeDownMm3, buildUpMm3, lineLength, lineRise, lineFall, loops } = joint;
  const dug = copeDownMm3 + buildUpMm3;
  const off = lineRise + lineFall;
  const around = loops === 1 ? '' : ` in ${loops} loops`;
  return [
    make(
      'digging',
      'sand moved for a shaped joint',
      dug,
      'mm³',
      shareOf(dug, scale.volumeMm3),
      dug < NOTHING * scale.volumeMm3
        ? 'The joint can be struck flat: nothing is dug.'
        : `A joint that follows the line takes ${formatVolume(copeDownMm3, show)} dug away and ${formatVolume(buildUpMm3, show)} built up, give or take ${formatVolume(joint.digErrorMm3, show, 2)}.${joint.feasible ? '' : ` Sand at ${SLOPE_DEG}° does not reach the whole line, so this is a compromise.`}`,
    ),
    make(
      'lineLength',
      'length of the parting line',
      lineLength,
      'mm',
      shareOf(lineLength, 3 * scale.size),
      `The parting line is ${formatLength(lineLength, show)} long${around}.`,
    ),
    make(
      'lineRise',
      'rise and fall of the parting line',
      off,
      'mm',
      shareOf(off, scale.size),
      off < NOTHING * scale.size
        ? 'The parting line lies in the flat joint.'
        : `The parting line rises ${formatLength(lineRise, show)} above the flat joint and falls ${formatLength(lineFall, show)} below it.`,
    ),
  ];
}
