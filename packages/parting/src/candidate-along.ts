/** A draw of the caller's own, judged as a candidate. */
import {
  drainSteps,
  OddsideError,
  partOfSteps,
  resolveOptions,
  runSteps,
  type Steps,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { ADVISE_PARTINGS_DEFAULTS, type AdvisePartingsOptions } from './advise-options.js';
import { assessDraw } from './assess-draw.js';
import { judgeBothWays, type PartingCandidate } from './make-candidate.js';
import { beginSearch } from './ready-search.js';
import { makeFinish } from './show-candidates.js';
import { sidesSteps } from './survey-sides.js';

/** What {@link candidateAlong} takes; see `AdvisePartingsOptions`. */
export type CandidateAlongOptions = Pick<
  AdvisePartingsOptions,
  'columns' | 'requiredDraftDeg' | 'weights' | 'wishes' | 'limits' | 'flasks' | 'flaskRoom' | 'joints' | 'show'
>;

/** What {@link candidateAlongInPieces} takes. */
export type CandidateInPiecesOptions = CandidateAlongOptions & TaskOptions;

/**
 * Scores one draw of the caller's own against the same criteria, as a candidate of rank 0. It is the caller's choice: neither
 * limits nor wishes refuse it, and it is not turned over.
 *
 * @returns The candidate. Cost: about eight casts; some 0.2 s for 100,000 triangles, so see {@link candidateAlongInPieces}.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`, `bad-pattern`, `no-triangles`.
 */
export function candidateAlong(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<CandidateAlongOptions>,
): PartingCandidate {
  const chosen = resolveOptions('candidateAlong', ADVISE_PARTINGS_DEFAULTS, options);
  return drainSteps(candidateSteps('candidateAlong', pattern, direction, chosen));
}

/**
 * The same, to the last bit, in pieces: for large scans in a program that has other things to do.
 *
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`, `bad-pattern`, `no-triangles`; the signal's reason when aborted.
 */
export async function candidateAlongInPieces(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<CandidateInPiecesOptions>,
): Promise<PartingCandidate> {
  const chosen = resolveOptions('candidateAlongInPieces', ADVISE_PARTINGS_DEFAULTS, options);
  return runSteps(candidateSteps('candidateAlongInPieces', pattern, direction, chosen), chosen);
}

function* candidateSteps(
  caller: string,
  pattern: Pattern,
  direction: Vec3,
  chosen: CandidateAlongOptions,
): Steps<PartingCandidate> {
  const { columns, requiredDraftDeg, joints } = chosen;
  const { survey, scratch, wishes, ready } = beginSearch(caller, pattern, chosen);
  yield 0.05;
  const { judging } = ready(yield* partOfSteps(sidesSteps(pattern, survey, scratch), 0.05, 0.3));
  yield 0.3;
  const assessment = assessDraw(pattern, direction, { columns, requiredDraftDeg }, scratch);
  yield 0.4;
  const ways = judgeBothWays(pattern, assessment, judging, true);
  const finish = makeFinish(pattern, { judging, wishes, joints }, scratch);
  const made = yield* partOfSteps(finish({ ways, from: 'even sampling' }, false), 0.4, 1);
  if ('rank' in made) return made;
  throw new OddsideError('bad-option', `The draw ${made.what}.`);
}
