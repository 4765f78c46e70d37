/**
 * What can be done where sand is held, cheapest kind first: turn the draw, move the joint, shape the joint, make a loose
 * piece, a core, a cheek, or fill the place. Each says what it costs and what is left after it alone, measured again on the
 * columns as the remedy leaves them.
 *
 * Sand that a flat joint seems to trap inside the outline, a cup's filling or what lies under an arch, is parted by the
 * pattern itself; only what lies over the rim has to be dug, so only that is counted against a joint.
 */
import {
  checkNumber,
  formatVolume,
  formatVolumeWithin,
  paceSteps,
  plainNumber,
  resolveOptions,
  startPacing,
  type Pacer,
  type TaskOptions,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import type { ColumnField } from './column-field.js';
import { basinSteps } from './fill-basins.js';
import { findFlatJoint } from './find-flat-joint.js';
import { findHeldRegionsIn } from './find-held-regions.js';
import { jointRemedySteps, misfitParts } from './joint-remedies.js';
import { intervalSteps, type ColumnIntervals } from './list-intervals.js';
import { measureColumns } from './measure-columns.js';
import { regionSteps } from './region-remedies.js';
import { FREE, type Remedy } from './remedy.js';
import { NOTHING } from './score-draw.js';
import { heldInStack, stackParts } from './stack-parts.js';
import { castLike } from './trace-shadow-boundary.js';
import { turnDraw } from './turn-draw.js';

export type { Remedy, RemedyKind } from './remedy.js';

/** What {@link suggestRemedies} takes. */
export interface SuggestRemediesOptions extends TaskOptions {
  /** Height of the flat joint in use, mm from the file's origin. Default: the assessment's best. */
  readonly jointHeight: number | undefined;
  /** Steepest slope of a shaped joint, degrees, 5–85. Default 30. */
  readonly slopeLimitDeg: number;
  /** Regions looked at one by one, largest first, 1–100; the rest are filled together. Default 8. */
  readonly regions: number;
  /** How far the draw may be turned, degrees, 0–45. Default 15. */
  readonly turnDeg: number;
}

/** Defaults of {@link suggestRemedies}. */
export const SUGGEST_REMEDIES_DEFAULTS: SuggestRemediesOptions = Object.freeze({
  jointHeight: undefined,
  slopeLimitDeg: 30,
  regions: 8,
  turnDeg: 15,
  signal: undefined,
  onProgress: undefined,
});

/** More mould parts than this nobody stacks (common practice, no source). */
const MOST_PARTS = 6;
/** Share of the shadow that may go the wrong way in a part of a stack: the raggedness of a scan. */
const SLACK_SHARE = 0.005;
/** Heights at which a stack's sections are compared. */
const LEVELS = 256;
/** A turned draw is worth telling of when it holds less than this share of what this one does. */
const WORTH_TURNING = 0.8;

/**
 * Suggests remedies for a draw.
 *
 * @param assessment Of the same pattern; its direction, column and flat joint are used.
 * @returns Remedies in the order of {@link RemedyKind}, largest region first; empty where nothing is held or trapped.
 *   Deterministic. Cost: some 60 coarse casts, and one shaped joint where a flat one traps sand over the rim.
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function suggestRemedies(
  pattern: Pattern,
  assessment: DrawAssessment,
  options?: Partial<SuggestRemediesOptions>,
): Promise<Remedy[]> {
  const chosen = resolveOptions('suggestRemedies', SUGGEST_REMEDIES_DEFAULTS, options);
  checkNumber('regions', chosen.regions, { min: 1, max: 100, whole: true });
  checkNumber('turnDeg (degrees)', chosen.turnDeg, { min: 0, max: 45 });
  if (chosen.jointHeight !== undefined) checkNumber('jointHeight (mm)', chosen.jointHeight);
  const pacer = startPacing(chosen);
  const { direction, flat, backDraftMm3: held, backDraftErrorMm3: heldError } = assessment;
  const nothing = NOTHING * Math.max(assessment.solidMm3, 1e-12);
  const jointHeight = chosen.jointHeight ?? flat.height;
  await pacer.step(0.01);
  const field = castLike(pattern, direction, assessment.column);
  await pacer.step(0.03);
  const filled = await paceSteps(basinSteps(field), pacer, 0.03, 0.06);
  const rimMm3 = misfitParts(field, filled, jointHeight).rimMm3;

  const turned = held > nothing ? await turnRemedy(pattern, assessment, chosen.turnDeg, nothing, pacer) : [];
  const jointTask = { jointHeight, slopeLimitDeg: chosen.slopeLimitDeg, held, heldError, nothing };
  const joints = await paceSteps(jointRemedySteps(pattern, field, filled, jointTask), pacer, 0.4, 0.7);
  if (!(held > nothing)) {
    pacer.finish();
    return [...turned, ...joints];
  }
  const intervals = await paceSteps(intervalSteps(pattern, field), pacer, 0.7, 0.78);
  const found = findHeldRegionsIn(field, intervals);
  await pacer.step(0.8);
  const task = { regions: chosen.regions, solidMm3: assessment.solidMm3, nothing, rimMm3 };
  const { pieces, cores, fills } = await paceSteps(regionSteps(found, task), pacer, 0.8, 0.95);
  const cheek = cheekRemedy(field, intervals, assessment.shadowAreaMm2);
  pacer.finish();
  return [...turned, ...joints, ...pieces, ...cores, ...cheek, ...fills];
}

/** Looks for a better draw near by on coarse columns, then assesses it like the one it is to replace. */
async function turnRemedy(
  pattern: Pattern,
  { direction, column, backDraftMm3: held }: DrawAssessment,
  turnDeg: number,
  nothing: number,
  pacer: Pacer,
): Promise<Remedy[]> {
  const turned = await turnDraw(pattern, direction, turnDeg, (done) => pacer.step(0.06 + 0.3 * done));
  if (turned.leftMm3 >= WORTH_TURNING * turned.beforeMm3) return [];
  const field = castLike(pattern, turned.direction, column);
  await pacer.step(0.37);
  const { backDraftMm3, backDraftErrorMm3 } = measureColumns(field);
  if (backDraftMm3 >= WORTH_TURNING * held) return [];
  const rimMm3 = findFlatJoint(await paceSteps(basinSteps(field), pacer, 0.38, 0.4)).misfitMm3;
  const alsoRim = rimMm3 > nothing ? ` A flat joint then traps ${formatVolume(rimMm3, 'metric', 2)} over the rim.` : '';
  return [
    {
      kind: 'turn-draw',
      region: null,
      costs: FREE,
      leftMm3: backDraftMm3 + rimMm3,
      leftErrorMm3: backDraftErrorMm3,
      where: null,
      draw: turned.direction,
      sentence: `Turn the draw by ${plainNumber(turned.angleDeg, 2)}°: ${formatVolumeWithin(backDraftMm3, backDraftErrorMm3, 'metric', 2)} is still held instead of ${formatVolume(held)}.${alsoRim}`,
    },
  ];
}

function cheekRemedy(field: ColumnField, intervals: ColumnIntervals, shadowAreaMm2: number): Remedy[] {
  const stack = stackParts(field, intervals, LEVELS, SLACK_SHARE * shadowAreaMm2);
  if (stack.count < 3 || stack.count > MOST_PARTS) return [];
  const leftMm3 = heldInStack(stack, field, intervals);
  return [
    {
      kind: 'cheek',
      region: null,
      costs: { ...FREE, parts: stack.count - 2 },
      leftMm3,
      // The joints' heights are known to a level.
      leftErrorMm3: (stack.count - 1) * stack.resolution * shadowAreaMm2,
      where: null,
      stack,
      sentence: `Mould in ${stack.count} parts: ${stack.count - 2} cheek${stack.count > 3 ? 's' : ''} between drag and cope, the pattern split at each joint; about ${formatVolume(leftMm3, 'metric', 2)} is held then.`,
    },
  ];
}
