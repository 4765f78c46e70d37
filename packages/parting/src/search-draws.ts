/** The search itself: try draws all over the half sphere, then refine the best of each valley. */
import { radians, type Pacer, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { CastScratch } from './cast-columns.js';
import { openTrier, type DrawTrier } from './draw-trier.js';
import { axialAngleDeg, type OwnAxis } from './find-own-axes.js';
import { NARROWEST_DEG, refineDraw, type Refinement } from './refine-draw.js';
import type { HelpingThreads } from './open-threads.js';
import { polishDraws } from './polish-draws.js';
import { coveringRadiusDeg } from './sample-directions.js';
import { NEIGHBOURS, sampleDraws } from './sample-draws.js';
import { admitsEitherWay, type DrawRules } from './draw-rules.js';
import { NOTHING } from './score-draw.js';
import { refineStarts } from './refine-starts.js';
import type { TriedDraw } from './try-draw.js';
import { SampleWalk } from './walk-samples.js';

/** How to search. */
export interface DrawSearch {
  readonly samples: number;
  readonly searchColumns: number;
  readonly threads: HelpingThreads | undefined;
  readonly candidates: number;
  readonly apartDeg: number;
  /** Draws that need no cast, because they were ruled out without. */
  readonly ruledOut: (direction: Vec3) => boolean;
  readonly signal?: AbortSignal;
}

/** Starting points refined beyond the candidates that are shown: a narrow valley looks poor from a sample beside it. */
const SPARE_STARTS = 7;

/** A pattern and its likenesses; the same as another where that is small enough. */
export interface SearchedPatterns {
  /** Sampled all over. */
  readonly coarse: Pattern;
  /** Refined on. */
  readonly fine: Pattern;
  /** The pattern itself, and what casts it: where the best draws end is looked up on it. */
  readonly pattern: Pattern;
  readonly scratch: CastScratch;
}

/**
 * Searches a pattern; `refined` holds distinct draws, best first. `cleanest` is the draw that holds least sand where none of
 * those comes near it, whatever else it costs: it may be the only way that leaves the sand at all. Progress runs to 0.9.
 */
export async function searchDraws(
  { coarse, fine, pattern, scratch }: SearchedPatterns,
  axes: Promise<readonly OwnAxis[]>,
  rules: DrawRules,
  search: DrawSearch,
  pacer: Pacer,
): Promise<{ tried: readonly TriedDraw[]; refined: readonly TriedDraw[]; cleanest: TriedDraw | null }> {
  const { threads, signal } = search;
  const calls = { count: 0 };
  const wide = openTrier(coarse, threads, signal, calls);
  const narrow = coarse === fine ? wide : openTrier(fine, threads, signal, calls);
  const whole = fine === pattern ? narrow : openTrier(pattern, threads, signal, calls, scratch);
  return searchWith(coarse, { wide, narrow, whole }, axes, rules, search, pacer);
}

/** What tries draws on the likeness that is sampled, on the finer one, and on the pattern; the same where these are. */
interface Triers {
  readonly wide: DrawTrier;
  readonly narrow: DrawTrier;
  readonly whole: DrawTrier;
}

async function searchWith(
  coarse: Pattern,
  triers: Triers,
  axes: Promise<readonly OwnAxis[]>,
  rules: DrawRules,
  search: DrawSearch,
  pacer: Pacer,
): ReturnType<typeof searchDraws> {
  const { searchColumns, candidates, apartDeg, threads, signal } = search;
  const { wide, narrow, whole } = triers;
  const wanted = candidates + SPARE_STARTS;
  const sampling = { ...search, wanted, mayBeRough: wide !== narrow, threads, signal };
  const { starts, tried, close } = await sampleDraws(coarse, wide, axes, rules, sampling, pacer);
  const walk = new SampleWalk(tried, Math.cos(radians(NEIGHBOURS * coveringRadiusDeg(search.samples))));
  const { nearly, closely } = refineryOf(triers, search, (from, free) => walk.below(from, free));
  let done = 0;
  const tick = (): Promise<void> => pacer.step(0.6 + (0.28 * done) / wanted);
  const admits = (direction: Vec3): boolean => admitsEitherWay(rules.cones, direction) && !search.ruledOut(direction);
  // One for each thread, this one too: while it tries a ring, the others try theirs.
  const atOnce = threads ? threads.count + 1 : 1;
  const report = (count: number): void => void (done = count);
  const valleys = await refineStarts(starts, {
    wanted,
    apartDeg,
    admits,
    nearly: (start, free) => nearly(start, free, rules, tick),
    closely: (draw, free) => closely(draw, free, rules, tick),
    hopeless: (draw, before) => before.filter((other) => farBetter(other, draw)).length >= candidates,
    atOnce,
    report,
  });
  const last = (): Promise<void> => pacer.step(0.9);
  const polish = { count: narrow === whole ? 0 : candidates, columns: 2 * searchColumns, apartDeg, admits };
  const refined = await polishDraws(whole, valleys, polish, rules, last);
  const refineCleanest = async (start: TriedDraw, heavier: DrawRules): Promise<TriedDraw> => {
    const near = await closely(await nearly(start, admits, heavier, last), admits, heavier, last);
    const [{ direction, backDraftMm3, casts }] = await polishDraws(whole, [near], polish, heavier, last);
    const [itself] = await whole.tryAll([{ direction, from: start.from }], 2 * searchColumns, rules, last);
    return { ...itself, backDraftMm3, casts: casts + 1 };
  };
  return { tried, ...(await addCleanest(refined, leastHeld(close), refineCleanest, rules, apartDeg)) };
}

/** The draws that were refined and, where it is worth showing, the one that holds least sand; what is near that is left out. */
async function addCleanest(
  refined: readonly TriedDraw[],
  start: TriedDraw,
  refine: (start: TriedDraw, heavier: DrawRules) => Promise<TriedDraw>,
  rules: DrawRules,
  apartDeg: number,
): Promise<{ refined: readonly TriedDraw[]; cleanest: TriedDraw | null }> {
  const cleaner = refined.every((kept) => kept.over > start.over || start.backDraftMm3 < CLEANER * kept.backDraftMm3);
  if (!cleaner) return { refined, cleanest: null };
  const { weights, scale } = rules;
  const heavier = { ...rules, weights: { ...weights, backDraft: CLEANEST_WEIGHT * weights.backDraft } };
  const cleanest = await refine(start, heavier);
  const isNear = (draw: TriedDraw): boolean => axialAngleDeg(draw.direction, cleanest.direction) < apartDeg;
  // Beside a candidate it is only worth showing, in that one's place, where it alone leaves the sand.
  const leaves = cleanest.backDraftMm3 <= NOTHING * scale.volumeMm3;
  if (refined.some(isNear) && !leaves) return { refined, cleanest: null };
  return { refined: refined.filter((draw) => !isNear(draw)), cleanest };
}

/** The ring at which refining passes from the finer likeness to the pattern itself, degrees: what is left of it is one ring. */
const NEARLY_THERE_DEG = 0.8;
/** The ring at which refining passes from the likeness that was sampled to the finer one, degrees. */
const HALF_WAY_DEG = 1;

/** Refines one draw. */
type RefineOne = (
  start: TriedDraw,
  free: Refinement['free'],
  rules: DrawRules,
  tick: () => Promise<void>,
) => Promise<TriedDraw>;

/**
 * What refines draws: wide rings on the likeness that was sampled, narrow ones on the finer. The wide rings only have to find
 * the valley, and that is what the first likeness is good at. Without likenesses all is done in the first go.
 */
function refineryOf(
  { wide, narrow, whole }: Triers,
  { samples, searchColumns }: DrawSearch,
  below: Refinement['below'],
): { readonly nearly: RefineOne; readonly closely: RefineOne } {
  const stepDeg = coveringRadiusDeg(samples);
  const columns = 2 * searchColumns;
  if (wide === narrow) {
    const all = { columns, stepDeg, endDeg: NARROWEST_DEG, below };
    return {
      nearly: (start, free, rules, tick) => refineDraw(narrow, start, { ...all, free }, rules, tick),
      closely: async (draw) => Promise.resolve(draw),
    };
  }
  const first = { columns: Math.round((4 / 3) * searchColumns), stepDeg, endDeg: HALF_WAY_DEG, below };
  const last = {
    columns,
    stepDeg: Math.min(stepDeg, HALF_WAY_DEG / 2),
    endDeg: narrow === whole ? NARROWEST_DEG : NEARLY_THERE_DEG,
  };
  return {
    nearly: (start, free, rules, tick) => refineDraw(wide, start, { ...first, free }, rules, tick),
    closely: (draw, free, rules, tick) => refineDraw(narrow, draw, { ...last, free }, rules, tick),
  };
}

/** Refining to the end on the finer likeness makes a draw better by less than this share, in most that were compared. */
const STILL_TO_GAIN = 0.05;

/** Whether a draw stays better than another that is still to be refined to the end. */
function farBetter(one: TriedDraw, other: TriedDraw): boolean {
  return one.over < other.over || (one.over === other.over && (1 + STILL_TO_GAIN) * one.points < other.points);
}

/** A draw must hold less than this share of what the best ones hold to be shown for that alone. */
const CLEANER = 0.5;
/** How much more back draft weighs when the draw that holds least is refined. */
const CLEANEST_WEIGHT = 100;

/** Of one or more: within the limits, the draw that holds least sand; among equals the one with fewest points. */
function leastHeld(tried: readonly TriedDraw[]): TriedDraw {
  return tried.reduce((best, draw) =>
    (draw.over - best.over || draw.backDraftMm3 - best.backDraftMm3 || draw.points - best.points) < 0 ? draw : best,
  );
}
