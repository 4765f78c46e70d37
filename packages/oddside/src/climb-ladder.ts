/** The kinds of joint compared along the chosen draw, with what the card needs to draw them. */
import type { JobLadder, JobSection } from '@oddside/card';
import type { TaskOptions } from '@oddside/core';
import { jointLadder } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** Columns across the shadow: enough to tell the kinds apart, few enough to take a fraction of a second. */
const COLUMNS = 64;
/** Places along a joint that is drawn, and how far past the pattern it is drawn, as a share of its length. */
const PLACES = 161;
const PAST = 0.12;

/**
 * Measures the ladder of a laid pattern (draw along +z, flat joint at height 0).
 *
 * @param length Of the pattern as it lies, mm.
 * @param cut Where the joints are drawn.
 * @param slopeLimitDeg Steepest slope of a joint, degrees.
 */
export async function climbLadder(
  laid: Pattern,
  length: number,
  cut: JobSection,
  slopeLimitDeg: number,
  task: TaskOptions,
): Promise<JobLadder> {
  const right = length * (0.5 + PAST);
  const y = cut.across ?? 0;
  const { column, backDraftMm3, rungs } = await jointLadder(laid, [0, 0, 1], {
    columns: COLUMNS,
    slopeLimitDeg,
    along: { from: [-right, y, 0], to: [right, y, 0], places: PLACES },
    signal: task.signal,
  });
  return {
    column,
    slopeLimitDeg,
    backDraftMm3,
    rungs: rungs.map(({ profile, ...figures }) => ({
      ...figures,
      profile: Array.from(profile, (height) => Math.round(height * 1000) / 1000),
    })),
    cut,
    left: -right,
    right,
  };
}
