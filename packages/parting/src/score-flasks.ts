/** Whether one of the founder's flasks will do for a way of laying the pattern. */
import { formatLength, type UnitSystem } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import { fitFlask, type FitFlaskOptions, type FlaskFits, type FlaskSize } from './fit-flask.js';
import type { PartingWeights } from './parting-weights.js';
import { criterionMaker, type Criterion } from './score-draw.js';

/** The founder's flasks and the sand to leave in them. */
export interface FlasksAtHand {
  readonly flasks: readonly FlaskSize[];
  readonly room: Partial<FitFlaskOptions> | undefined;
}

/** Taking the largest flask where the smallest would do costs less than this; having none that will do costs 1 and more. */
const LARGEST = 0.1;

/** The criterion. Cost: one pass over the corners. */
export function scoreFlasks(
  pattern: Pattern,
  { direction, flat }: Pick<DrawAssessment, 'direction' | 'flat'>,
  { flasks, room }: FlasksAtHand,
  weights: PartingWeights,
  show: UnitSystem,
): Criterion {
  const fits = fitFlask(pattern, direction, flat.height, flasks, room);
  const share = shareOf(fits, flasks);
  const size = (length: number): string => formatLength(length, show);
  const { needed } = fits;
  const sentence = fits.best
    ? `Flask ${fits.best.flask.name} is the smallest that will do with the usual sand round the pattern.`
    : `None of the flasks will do with the usual sand round the pattern: about ${size(needed.length)} × ${size(needed.width)} is needed, ${size(needed.copeDepth)} deep in the cope and ${size(needed.dragDepth)} in the drag.`;
  return criterionMaker(weights)('flaskFit', 'flasks at hand', share, '1', share, sentence);
}

function shareOf({ best, needed }: FlaskFits, flasks: readonly FlaskSize[]): number {
  const volumes = flasks.map((flask) => flask.length * flask.width * (flask.copeDepth + flask.dragDepth));
  const largest = volumes.reduce((a, b) => Math.max(a, b), 0);
  const smallest = volumes.reduce((a, b) => Math.min(a, b), Infinity);
  if (best) return (LARGEST * (best.volumeMm3 - smallest)) / largest;
  const wanting = flasks.map((flask) =>
    Math.max(
      Math.min(
        Math.max(needed.length / flask.length, needed.width / flask.width),
        Math.max(needed.width / flask.length, needed.length / flask.width),
      ),
      needed.copeDepth / flask.copeDepth,
      needed.dragDepth / flask.dragDepth,
    ),
  );
  return 1 + Math.max(0, wanting.reduce((a, b) => Math.min(a, b), Infinity) - 1);
}
