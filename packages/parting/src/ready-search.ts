/** What must be known of a pattern before draws are compared, worked out once. */
import { resolveOptions } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { AdvisePartingsOptions } from './advise-options.js';
import { castColumns, makeScratch, type CastScratch } from './cast-columns.js';
import { resolveLimits } from './draw-limits.js';
import { findFineDetail } from './find-fine-detail.js';
import { findHeavySection } from './find-heavy-section.js';
import { checkFlasks } from './fit-flask.js';
import type { Judging } from './make-candidate.js';
import { sumColumns } from './measure-columns.js';
import { PARTING_WEIGHTS } from './parting-weights.js';
import { readyWishes, type ReadyWishes } from './parting-wishes.js';
import { surveySurface, type SurfaceSurvey } from './survey-surface.js';

/** A pattern ready to have its draws compared. */
export interface ReadySearch {
  readonly survey: SurfaceSurvey;
  readonly scratch: CastScratch;
  readonly judging: Judging;
  readonly wishes: ReadyWishes;
}

/** Surveys the pattern and works out weights, limits, wishes, and what each side of it is worth. */
export function readySearch(
  caller: string,
  pattern: Pattern,
  chosen: Pick<AdvisePartingsOptions, 'weights' | 'limits' | 'wishes' | 'flasks' | 'flaskRoom' | 'show'>,
): ReadySearch {
  const weights = resolveOptions(`${caller} weights`, PARTING_WEIGHTS, chosen.weights);
  const limits = resolveLimits(caller, chosen.limits);
  const { flasks, flaskRoom, show } = chosen;
  if (flasks !== undefined) checkFlasks(caller, flasks);
  const survey = surveySurface(pattern);
  const wishes = readyWishes(caller, pattern, survey.size, chosen.wishes);
  const scratch = makeScratch(pattern);
  const rules = {
    scale: { ...survey, volumeMm3: volumeSeen(pattern, scratch) },
    weights,
    sides: { ...findFineDetail(pattern, survey), ...findHeavySection(pattern), machined: wishes.machined },
    limits,
    cones: wishes.cones,
    unmarked: wishes.unmarked.map(({ bundles }) => ({ bundles })),
  };
  const judging = { rules, show, flasks: flasks ? { flasks, room: flaskRoom } : null };
  return { survey, scratch, judging, wishes };
}

/** Volume of the pattern as columns see it along an odd direction: holes in a scan do not upset it as they do integrals. */
function volumeSeen(pattern: Pattern, scratch: CastScratch): number {
  const field = castColumns(pattern, [0.36, 0.48, 0.8], 128, scratch);
  const sums = sumColumns(field);
  return sums.solidMm3 + sums.unknownMm3 / 2;
}
