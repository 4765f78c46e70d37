/** The search itself: try draws all over the half sphere, then refine the best of each valley. */
import { dot, radians, type Pacer, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { makeScratch } from './cast-columns.js';
import { axialAngleDeg, type OwnAxis } from './find-own-axes.js';
import { refineDraw } from './refine-draw.js';
import { coveringRadiusDeg, sampleDirections } from './sample-directions.js';
import { admitsEitherWay, type DrawRules } from './draw-rules.js';
import { NOTHING } from './score-draw.js';
import { openSearchThreads, type DrawToTry } from './search-threads.js';
import { drawOrder, tryDraw, type TriedDraw } from './try-draw.js';

/** How to search. */
export interface DrawSearch {
  readonly samples: number;
  readonly searchColumns: number;
  readonly threads: number;
  readonly candidates: number;
  readonly apartDeg: number;
  readonly signal?: AbortSignal;
}

/** Starting points refined beyond the candidates that are shown, because the order can change on a closer look. */
const SPARE_STARTS = 2;

/**
 * Searches `coarse` all over and refines on `fine`, two likenesses of one pattern; `refined` holds distinct draws in the order they were found.
 * `cleanest` is the draw that holds least sand where none of those comes near it, whatever else it costs: it may be the only
 * way that leaves the sand at all. Progress runs to 0.9.
 */
export async function searchDraws(
  coarse: Pattern,
  fine: Pattern,
  axes: readonly OwnAxis[],
  rules: DrawRules,
  search: DrawSearch,
  pacer: Pacer,
): Promise<{ tried: readonly TriedDraw[]; refined: readonly TriedDraw[]; cleanest: TriedDraw | null }> {
  const { samples, searchColumns, candidates, apartDeg } = search;
  const tried = await tryAll(coarse, axes, rules, search, pacer);
  const scratch = makeScratch(fine);
  const refined: TriedDraw[] = [];
  const wanted = candidates + SPARE_STARTS;
  const stepDeg = coveringRadiusDeg(samples);
  for (const start of startsInOrder(tried, stepDeg)) {
    if (refined.length === wanted) break;
    const free = (direction: Vec3): boolean =>
      admitsEitherWay(rules.cones, direction) &&
      refined.every((kept) => axialAngleDeg(kept.direction, direction) >= apartDeg);
    if (!free(start.direction)) continue;
    const done = refined.length / wanted;
    const tick = (): Promise<void> => pacer.step(0.6 + 0.3 * done);
    const closer = { stepDeg, columns: 2 * searchColumns, free };
    refined.push(await refineDraw(fine, start, closer, rules, scratch, tick));
  }
  const cleanest = leastHeld(tried);
  const cleaner = refined.every(
    (kept) => kept.over > cleanest.over || cleanest.backDraftMm3 < CLEANER * kept.backDraftMm3,
  );
  if (!cleaner) return { tried, refined, cleanest: null };
  const { weights, scale } = rules;
  const heavier = { ...rules, weights: { ...weights, backDraft: CLEANEST_WEIGHT * weights.backDraft } };
  const closer = {
    stepDeg,
    columns: 2 * searchColumns,
    free: (direction: Vec3): boolean => admitsEitherWay(rules.cones, direction),
  };
  const found = await refineDraw(fine, cleanest, closer, heavier, scratch, () => pacer.step(0.9));
  const { backDraftMm3, direction } = found;
  const itself = tryDraw(fine, direction, cleanest.from, 2 * searchColumns, rules, scratch);
  const result = { ...itself, backDraftMm3, casts: found.casts + 1 };
  const near = (draw: TriedDraw): boolean => axialAngleDeg(draw.direction, direction) < apartDeg;
  // Beside a candidate it is only worth showing, in that one's place, where it alone leaves the sand.
  const leaves = backDraftMm3 <= NOTHING * scale.volumeMm3;
  if (refined.some(near) && !leaves) return { tried, refined, cleanest: null };
  return { tried, refined: refined.filter((draw) => !near(draw)), cleanest: result };
}

/** A draw must hold less than this share of what the best ones hold to be shown for that alone. */
const CLEANER = 0.5;
/** How much more back draft weighs when the draw that holds least is refined. */
const CLEANEST_WEIGHT = 100;

/** Within the limits, the draw that holds least sand; among equals the one with fewest points. */
function leastHeld(tried: readonly TriedDraw[]): TriedDraw {
  return tried.reduce((best, draw) =>
    (draw.over - best.over || draw.backDraftMm3 - best.backDraftMm3 || draw.points - best.points) < 0 ? draw : best,
  );
}

async function tryAll(
  pattern: Pattern,
  axes: readonly OwnAxis[],
  rules: DrawRules,
  search: DrawSearch,
  pacer: Pacer,
): Promise<TriedDraw[]> {
  const draws: DrawToTry[] = [...axes];
  for (const direction of sampleDirections(search.samples)) {
    if (admitsEitherWay(rules.cones, direction)) draws.push({ direction, from: 'even sampling' });
  }
  const columns = search.searchColumns;
  if (search.threads > 0) {
    const { positions, triangles } = pattern;
    const open = { positions, triangles, columns, rules };
    const threads = await openSearchThreads(open, search.threads);
    try {
      return await threads.tryDraws(draws, search.signal, (done) => pacer.report((0.6 * done) / draws.length));
    } finally {
      threads.close();
    }
  }
  const scratch = makeScratch(pattern);
  const tried: TriedDraw[] = [];
  for (const { direction, from } of draws) {
    tried.push(tryDraw(pattern, direction, from, columns, rules, scratch));
    await pacer.step((0.6 * tried.length) / draws.length);
  }
  return tried;
}

/**
 * The order in which draws are taken as starting points: first those that are better than all their neighbours, because
 * each lies in a valley of its own, then the rest, so that there are always enough. Best first in both.
 */
function startsInOrder(tried: readonly TriedDraw[], radiusDeg: number): TriedDraw[] {
  const sorted = [...tried].sort(drawOrder);
  const near = Math.cos(radians(1.7 * radiusDeg));
  const valleys: TriedDraw[] = [];
  const rest: TriedDraw[] = [];
  for (const [i, draw] of sorted.entries()) {
    const beaten = sorted.slice(0, i).some((better) => Math.abs(dot(better.direction, draw.direction)) > near);
    (beaten ? rest : valleys).push(draw);
  }
  const all = [...valleys, ...rest];
  // No valley beyond a limit comes before the last draw that keeps within it.
  return [...all.filter((draw) => draw.over === 0), ...all.filter((draw) => draw.over > 0)];
}
