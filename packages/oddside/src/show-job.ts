/** What a job shows: pictures, scene, cut and ladder. */
import type { Pacer } from '@oddside/core';
import { sketchPattern } from '@oddside/pattern';
import type { PartingAdvice, PartingCandidate, PartingLine } from '@oddside/parting';
import type { CastingJob } from './casting-job.js';
import { chooseCuts, cutLengthwise } from './choose-cuts.js';
import { climbLadder } from './climb-ladder.js';
import type { LaidPattern } from './lay-pattern.js';
import type { PLAN_CASTING_DEFAULTS } from './plan-options.js';
import { showWaysLaid } from './show-ways-laid.js';
import { takePictures } from './take-pictures.js';

/** Triangles above which pictures and viewer show a likeness, so that the card stays small and quick. */
const MOST_DRAWN = 30_000;

/** What is shown of a job. */
export type JobShown = Pick<CastingJob, 'pictures' | 'scene' | 'section' | 'ladder'>;

/** Nothing, for a job that nobody looks at. */
export const NOTHING_SHOWN: JobShown = Object.freeze({ pictures: Object.freeze([]) });

/** Shows a job. About a second for the pictures, and a fraction of one for the rest. */
export async function showJob(
  laid: LaidPattern,
  line: PartingLine,
  candidate: PartingCandidate,
  advice: PartingAdvice,
  slopeLimitDeg: number,
  given: typeof PLAN_CASTING_DEFAULTS,
  pacer: Pacer,
): Promise<JobShown> {
  const drawn =
    laid.pattern.triangles.length / 3 > MOST_DRAWN
      ? await sketchPattern(laid.pattern, { triangles: MOST_DRAWN, quick: true })
      : laid.pattern;
  const subject = { laid: drawn, line, requiredDraftDeg: given.requiredDraftDeg! };
  await pacer.step(0.86);
  const pictures = await takePictures(subject, given.picturePx!, given);
  await pacer.step(0.93);
  const ways = await showWaysLaid(drawn, laid, candidate, advice.candidates, given);
  const length = laid.size[0];
  const cuts = chooseCuts(laid.pattern);
  await pacer.step(0.96);
  const ladder = await climbLadder(
    laid.pattern,
    length,
    cutLengthwise(drawn, cuts.trapped, length),
    slopeLimitDeg,
    given,
  );
  await pacer.step(0.99);
  const section = cutLengthwise(drawn, cuts.most, length);
  return { pictures: [...pictures, ...ways.pictures], scene: ways.scene, section, ladder };
}
