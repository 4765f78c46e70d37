// @ts-check
import {
  advisePartings,
  coveringRadiusDeg,
  estimateNoise,
  jointLadder,
  makeScratch,
  openPartingThreads,
  tracePartingLine,
} from '@oddside/parting';

/** Samples that leave no draw further than 2° from one that is tried. */
export const SAMPLES_AT_2_DEG = 2206;

/** One thread besides this one, as on two cores; a program that advises again and again keeps it. */
export const openHelp = () => openPartingThreads(1);

/**
 * What is asked of a pattern that is loaded: advice at 2°, and the line and the ladder of the best five.
 *
 * @param {any} pattern
 * @param {import('@oddside/parting').PartingThreads} threads
 */
export async function adviseWithJoints(pattern, threads) {
  const advice = await advisePartings(pattern, { samples: SAMPLES_AT_2_DEG, threads, joints: false });
  // The other thread measures the ladders while this one traces the lines.
  const ladders = Promise.all(advice.candidates.map(({ direction }) => jointLadder(pattern, direction, { threads })));
  const band = 2 * estimateNoise(pattern).sigma;
  const lines = [];
  const scratch = makeScratch(pattern);
  for (const { assessment } of advice.candidates) lines.push(tracePartingLine(pattern, assessment, { band, scratch }));
  return { advice, lines, ladders: await ladders, coveringRadiusDeg: coveringRadiusDeg(SAMPLES_AT_2_DEG) };
}
