/** A draw of the caller's own, judged as a candidate. */
import { drainSteps, OddsideError, resolveOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { ADVISE_PARTINGS_DEFAULTS, type AdvisePartingsOptions } from './advise-options.js';
import { assessDraw } from './assess-draw.js';
import { judgeBothWays, type PartingCandidate } from './make-candidate.js';
import { readySearch } from './ready-search.js';
import { makeFinish } from './show-candidates.js';

/** What {@link candidateAlong} takes; see `AdvisePartingsOptions`. */
export type CandidateAlongOptions = Pick<
  AdvisePartingsOptions,
  'columns' | 'requiredDraftDeg' | 'weights' | 'wishes' | 'limits' | 'flasks' | 'flaskRoom' | 'joints' | 'show'
>;

/**
 * Scores one draw of the caller's own against the same criteria, as a candidate of rank 0. It is the caller's choice: neither
 * limits nor wishes refuse it, and it is not turned over.
 *
 * @returns The candidate. Cost: about eight casts.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`.
 */
export function candidateAlong(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<CandidateAlongOptions>,
): PartingCandidate {
  const chosen = resolveOptions('candidateAlong', ADVISE_PARTINGS_DEFAULTS, options);
  const { columns, requiredDraftDeg, joints } = chosen;
  const { scratch, judging, wishes } = readySearch('candidateAlong', pattern, chosen);
  const assessment = assessDraw(pattern, direction, { columns, requiredDraftDeg }, scratch);
  const ways = judgeBothWays(pattern, assessment, judging, true);
  const made = drainSteps(
    makeFinish(pattern, { judging, wishes, joints }, scratch)({ ways, from: 'even sampling' }, false),
  );
  if ('rank' in made) return made;
  throw new OddsideError('bad-option', `The draw ${made.what}.`);
}
