// @ts-check
import { advisePartings, coveringRadiusDeg, estimateNoise, jointLadder, tracePartingLine } from '@oddside/parting';

/** Samples that leave no draw further than 2° from one that is tried. */
export const SAMPLES_AT_2_DEG = 3600;

/**
 * What is asked of a pattern that is loaded: advice at 2°, and the line and the ladder of the best five. One thread besides
 * this one, as on two cores.
 *
 * @param {any} pattern
 */
export async function adviseWithJoints(pattern) {
  const advice = await advisePartings(pattern, { samples: SAMPLES_AT_2_DEG, threads: 1, joints: false });
  const band = 2 * estimateNoise(pattern).sigma;
  const lines = [];
  const ladders = [];
  for (const { assessment, direction } of advice.candidates) {
    lines.push(tracePartingLine(pattern, assessment, { band }));
    ladders.push(await jointLadder(pattern, direction));
  }
  return { advice, lines, ladders, coveringRadiusDeg: coveringRadiusDeg(SAMPLES_AT_2_DEG) };
}
