/** An assessed draw the other way up, and with its joint where limits want it. */
import { scale as times } from '@oddside/core';
import type { DrawAssessment } from './assess-draw.js';
import { jointWithin, NO_LIMITS, type DrawLimits } from './draw-limits.js';

/** Heights of the lowest and highest corner along an assessed draw, mm from the file's origin. */
export function reachOf({ flat, copeDepth, dragDepth }: DrawAssessment): { lowest: number; highest: number } {
  return { lowest: flat.height - dragDepth, highest: flat.height + copeDepth };
}

/**
 * The same draw with cope and drag exchanged. Back draft, misfit, draft and shadow are the same; of the equally good joints
 * the one is chosen that is best this way up.
 */
export function turnOver(assessment: DrawAssessment, limits: DrawLimits = NO_LIMITS): DrawAssessment {
  const { flat, direction } = assessment;
  const { lowest, highest } = reachOf(assessment);
  const turned = { ...flat, low: -flat.high, high: -flat.low };
  return moveJoint({ ...assessment, direction: times(direction, -1), flat: turned }, -highest, -lowest, limits);
}

/** The same assessment with its flat joint moved as far as the limits on depth ask, among equally good heights. */
export function layWithin(assessment: DrawAssessment, limits: DrawLimits): DrawAssessment {
  if (assessment.copeDepth <= limits.copeDepth && assessment.dragDepth <= limits.dragDepth) return assessment;
  const { lowest, highest } = reachOf(assessment);
  return moveJoint(assessment, lowest, highest, limits);
}

function moveJoint(assessment: DrawAssessment, lowest: number, highest: number, limits: DrawLimits): DrawAssessment {
  const { flat } = assessment;
  const height = jointWithin(flat.low, flat.high, lowest, highest, limits);
  return { ...assessment, flat: { ...flat, height }, copeDepth: highest - height, dragDepth: height - lowest };
}
