/**
 * Which way should the pattern lie? Every draw is tried, coarsely; the best are refined, told apart, and measured in full.
 *
 * Back draft is searched by volume, which changes continuously with the draw; the area held does not.
 */
import { checkNumber, orAborted, type Pacer, paceSteps, resolveOptions, startPacing, type Vec3 } from '@oddside/core';
import { sketchPattern, type Pattern } from '@oddside/pattern';
import { ADVISE_PARTINGS_DEFAULTS, type AdvisePartingsOptions } from './advise-options.js';
import type { DrawLimits } from './draw-limits.js';
import { admitsEitherWay, type DrawRules } from './draw-rules.js';
import { distinctAxes, ownAxisSteps, type OwnAxis } from './find-own-axes.js';
import { restingFaceSteps } from './find-resting-faces.js';
import { findingsOfHeld, findingsOfNone, rejectedOf } from './judge-advice.js';
import { ranked } from './make-candidate.js';
import { helpersIn, openPartingThreads, type HelpingThreads } from './open-threads.js';
import type { PartingAdvice } from './parting-advice.js';
import type { ReadyWishes } from './parting-wishes.js';
import { proveNoDraw } from './prove-no-draw.js';
import { beginSearch } from './ready-search.js';
import { readyRuling, ruleOutDraw } from './rule-out-draws.js';
import { coveringRadiusDeg, directionsNear, sampleDirections } from './sample-directions.js';
import { searchDraws } from './search-draws.js';
import { showCandidates } from './show-candidates.js';
import { sidesSteps } from './survey-sides.js';
import type { TriedDraw } from './try-draw.js';

/** Triangles of the likeness for refining over those of the likeness for sampling. */
const REFINE_TIMES = 3;
/** Patterns of up to so many triangles are proved not to draw without being asked. */
const PROVED_UNASKED = 20_000;

/**
 * Searches all draws and returns the best distinct ones.
 *
 * @returns Advice. Cost: one coarse cast per sample (some 50 µs), some 30 finer ones for each of a dozen starting points, and
 *   ten of the pattern itself for each candidate, and five more for its line and joint. Deterministic.
 * @throws OddsideError `bad-option`, `bad-number`, `bad-direction`, `bad-pattern`, `no-triangles`; the signal's reason when
 *   aborted.
 */
export async function advisePartings(
  pattern: Pattern,
  options?: Partial<AdvisePartingsOptions>,
): Promise<PartingAdvice> {
  const chosen = resolveOptions('advisePartings', ADVISE_PARTINGS_DEFAULTS, options);
  checkNumber('samples', chosen.samples, { min: 50, max: 20_000, whole: true });
  checkNumber('searchTriangles', chosen.searchTriangles, { min: 0, max: 10_000_000, whole: true });
  checkNumber('searchColumns', chosen.searchColumns, { min: 16, max: 512, whole: true });
  const own = typeof chosen.threads === 'number' ? checkNumber('threads', chosen.threads, MOST_THREADS) : 0;
  checkNumber('candidates', chosen.candidates, { min: 1, max: 20, whole: true });
  checkNumber('apartDeg (degrees)', chosen.apartDeg, { min: 0.1, max: 60 });
  const pacer = startPacing(chosen);
  // They wake up while the pattern is being surveyed.
  const threads = typeof chosen.threads === 'number' ? await startThreads(own) : helpersIn(chosen.threads);
  try {
    return await adviseWith(pattern, chosen, threads, pacer);
  } finally {
    if (threads !== chosen.threads) threads?.close();
  }
}

const MOST_THREADS = { min: 0, max: 64, whole: true };

async function startThreads(count: number): Promise<HelpingThreads | undefined> {
  return count > 0 ? helpersIn(await openPartingThreads(count)) : undefined;
}

async function adviseWith(
  pattern: Pattern,
  chosen: AdvisePartingsOptions,
  threads: HelpingThreads | undefined,
  pacer: Pacer,
): Promise<PartingAdvice> {
  const { columns, requiredDraftDeg, joints, candidates: count, apartDeg } = chosen;
  const { survey, scratch, wishes, ready } = beginSearch('advisePartings', pattern, chosen);
  // A thread that helps surveys them while this one makes the likenesses; the axes are not wanted before all has been sampled.
  const sidesInThread = threads?.ask({ kind: 'sides', key: threads.keyOf(pattern), survey });
  const axesInThread = threads?.ask({ kind: 'axes', key: threads.keyOf(pattern), survey });
  for (const asked of [sidesInThread, axesInThread]) asked?.catch(() => undefined);
  await pacer.step(0.002);
  const fine = await likeness(pattern, REFINE_TIMES * chosen.searchTriangles);
  await pacer.step(0.01);
  const coarse = await likeness(fine, chosen.searchTriangles);
  const resting = await paceSteps(restingFaceSteps(coarse.positions), pacer, 0.01, 0.012);
  const sides = sidesInThread
    ? await orAborted(sidesInThread, chosen.signal)
    : await paceSteps(sidesSteps(pattern, survey, scratch), pacer, 0.012, 0.015);
  const { judging } = ready(sides);
  const { rules } = judging;
  const samples = samplesWithin(chosen.samples, rules);
  const own = axesInThread
    ? orAborted(axesInThread, chosen.signal)
    : await paceSteps(ownAxisSteps(pattern, survey), pacer, 0.015, 0.016);
  const axesSoon = axesToTry(own, resting, wishes);
  // Whoever waits for them hears of a failure.
  axesSoon.catch(() => undefined);
  const { ruledOut, count: ruled } = await ruleOut(pattern, rules, samples, axesSoon, pacer, chosen.signal);
  await pacer.step(0.02);
  const inside = coarse === pattern ? rules : rulesWith(rules, tightened(rules.limits));
  const { tried, refined, cleanest } = await searchDraws(
    { coarse, fine, pattern, scratch },
    axesSoon,
    inside,
    { ...chosen, samples, threads, ruledOut },
    pacer,
  );
  const axes = await axesSoon;
  const show = { judging, wishes, axes, assess: { columns, requiredDraftDeg }, joints, count, threads };
  const { shown, refused } = await showCandidates(
    pattern,
    inTurn(refined, cleanest, count),
    show,
    scratch,
    pacer,
    chosen.signal,
  );
  const candidates = ranked(shown);
  const cast = tried.length + refined.reduce((sum, draw) => sum + draw.casts, 0);
  const held = shown.length > 0 && candidates.every((candidate) => candidate.verdict === 'held');
  const prove = held && (chosen.prove ?? pattern.triangles.length / 3 <= PROVED_UNASKED);
  const proof = prove ? await proveNoDraw(pattern, { signal: chosen.signal }) : null;
  pacer.finish();
  const limited = Object.values(rules.limits).some((limit) => limit < Infinity);
  const wished = limited || wishes.cones.length > 0 || wishes.unmarked.length > 0;
  return {
    candidates,
    rejected: rejectedOf(refused, tried, refined, candidates, rules.scale, apartDeg),
    search: {
      drawsLookedAt: cast,
      samples,
      ruledOut: ruled,
      ownAxes: axes.length,
      coveringRadiusDeg: coveringRadiusDeg(samples),
      searchColumns: chosen.searchColumns,
      columns,
    },
    proof,
    findings: held
      ? findingsOfHeld(proof, coveringRadiusDeg(samples), wished)
      : shown.length === 0
        ? findingsOfNone(refused)
        : [],
  };
}

/**
 * Draws that need no cast where limits forbid all back draft: those that the faces alone rule out. Where that is every one, all
 * are cast after all, so that there is something to say of them.
 */
async function ruleOut(
  pattern: Pattern,
  { limits }: DrawRules,
  samples: number,
  axes: Promise<readonly OwnAxis[]>,
  pacer: Pacer,
  signal: AbortSignal | undefined,
): Promise<{ ruledOut: (direction: Vec3) => boolean; count: number }> {
  const nothing = { ruledOut: () => false, count: 0 };
  if (limits.backDraftMm3 > 0) return nothing;
  const ruling = await readyRuling(pattern, { signal });
  if (!ruling.speaks) return nothing;
  // On a scan a ruling takes some 50 µs, and each sample is asked about twice: here, in pieces, and when it is sampled.
  const known = new Map<string, boolean>();
  const ruledOut = (direction: Vec3): boolean => known.get(direction.join()) ?? ruleOutDraw(ruling, direction).ruledOut;
  let count = 0;
  const directions = sampleDirections(samples);
  for (const direction of directions) {
    const { ruledOut: out } = ruleOutDraw(ruling, direction);
    known.set(direction.join(), out);
    if (out) count++;
    await pacer.step(0.016);
  }
  return count === directions.length && (await axes).every(({ direction }) => ruledOut(direction))
    ? nothing
    : { ruledOut, count };
}

/** A likeness of a pattern for searching; the pattern itself where it is small already, or where 0 is asked for. */
async function likeness(pattern: Pattern, triangles: number): Promise<Pattern> {
  // A likeness not much smaller than the pattern is not worth making.
  return triangles === 0 || pattern.triangles.length / 3 < 1.5 * triangles
    ? pattern
    : sketchPattern(pattern, { triangles: Math.max(100, triangles), quick: true });
}

/** What wishes allow of the middle of what was wished for, the pattern's own axes, and what is square to its resting faces. */
async function axesToTry(
  own: readonly OwnAxis[] | Promise<readonly OwnAxis[]>,
  faces: readonly Vec3[],
  { cones, middle }: ReadyWishes,
): Promise<OwnAxis[]> {
  const square = faces.map((direction): OwnAxis => ({ direction, from: 'square to a face of its hull' }));
  const allowed = [...(await own), ...square].filter(({ direction }) => admitsEitherWay(cones, direction));
  return distinctAxes(middle ? [{ direction: middle, from: 'asked for' }, ...allowed] : allowed);
}

/** Of the whole half sphere a wish leaves a little; so much denser it is sampled, this many times at most. */
const DENSEST = 10;
const MOST_SAMPLES = 20_000;

/** Samples over the half sphere, so that within the narrowest wish there is about a fifth of what was asked for. */
function samplesWithin(asked: number, { cones }: DrawRules): number {
  const narrowest = cones.reduce((least, { withinDeg }) => Math.min(least, withinDeg), 90);
  const part = 1 - Math.cos((narrowest * Math.PI) / 180);
  const denser = Math.max(1, Math.min(DENSEST, 0.2 / part));
  return directionsNear(Math.max(asked, Math.min(MOST_SAMPLES, Math.round(asked * denser))));
}

/** A likeness is this much off the pattern or less, in most that is measured: so far inside the limits the search keeps. */
const LIKENESS_OFF = 0.005;

function tightened(limits: DrawLimits): DrawLimits {
  const part = 1 - LIKENESS_OFF;
  return {
    copeDepth: part * limits.copeDepth,
    dragDepth: part * limits.dragDepth,
    projectedAreaMm2: part * limits.projectedAreaMm2,
    backDraftMm3: part * limits.backDraftMm3,
    flatMisfitMm3: part * limits.flatMisfitMm3,
  };
}

/** The same rules with other limits. */
function rulesWith({ scale, weights, sides, cones, unmarked }: DrawRules, limits: DrawLimits): DrawRules {
  return { scale, weights, sides, limits, cones, unmarked };
}

/** Draws in the order in which they are to be shown: the best, and among those wanted the cleanest for its own sake. */
function inTurn(refined: readonly TriedDraw[], cleanest: TriedDraw | null, count: number): TriedDraw[] {
  return cleanest ? [...refined.slice(0, count - 1), cleanest, ...refined.slice(count - 1)] : [...refined];
}
