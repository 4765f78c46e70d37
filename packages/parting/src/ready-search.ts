/** What must be known of a pattern before draws are compared, worked out once. */
import { resolveOptions } from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import type { AdvisePartingsOptions } from './advise-options.js';
import { makeScratch, type CastScratch } from './cast-columns.js';
import { resolveLimits } from './draw-limits.js';
import { checkFlasks } from './fit-flask.js';
import type { Judging } from './make-candidate.js';
import { PARTING_WEIGHTS } from './parting-weights.js';
import { readyWishes, type ReadyWishes } from './parting-wishes.js';
import { surveySides, type SidesSurveyed } from './survey-sides.js';
import { surveySurface, type SurfaceSurvey } from './survey-surface.js';

/** A pattern ready to have its draws compared. */
export interface ReadySearch {
  readonly survey: SurfaceSurvey;
  readonly scratch: CastScratch;
  readonly judging: Judging;
  readonly wishes: ReadyWishes;
}

/** Checks the pattern, surveys it and works out weights, limits, wishes, and what each side of it is worth. */
export function readySearch(
  caller: string,
  pattern: Pattern,
  chosen: Pick<AdvisePartingsOptions, 'weights' | 'limits' | 'wishes' | 'flasks' | 'flaskRoom' | 'show'>,
): ReadySearch {
  const { ready, survey, scratch } = beginSearch(caller, pattern, chosen);
  return ready(surveySides(pattern, survey, scratch));
}

/** The same in two steps, so that a thread can survey the sides meanwhile: {@link surveySides}. */
export function beginSearch(
  caller: string,
  pattern: Pattern,
  chosen: Pick<AdvisePartingsOptions, 'weights' | 'limits' | 'wishes' | 'flasks' | 'flaskRoom' | 'show'>,
): Pick<ReadySearch, 'survey' | 'scratch' | 'wishes'> & { readonly ready: (sides: SidesSurveyed) => ReadySearch } {
  const weights = resolveOptions(`${caller} weights`, PARTING_WEIGHTS, chosen.weights);
  const limits = resolveLimits(caller, chosen.limits);
  const { flasks, flaskRoom, show } = chosen;
  if (flasks !== undefined) checkFlasks(caller, flasks);
  checkPattern(pattern);
  const survey = surveySurface(pattern);
  const wishes = readyWishes(caller, pattern, survey.size, chosen.wishes);
  const scratch = makeScratch(pattern);
  const ready = ({ volumeMm3, ...sides }: SidesSurveyed): ReadySearch => {
    const rules = {
      scale: { ...survey, volumeMm3 },
      weights,
      sides: { ...sides, machined: wishes.machined },
      limits,
      cones: wishes.cones,
      unmarked: wishes.unmarked.map(({ bundles }) => ({ bundles })),
    };
    const judging = { rules, show, flasks: flasks ? { flasks, room: flaskRoom } : null };
    return { survey, scratch, judging, wishes };
  };
  return { survey, scratch, wishes, ready };
}
