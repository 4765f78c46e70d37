/**
 * Draws all over the half sphere, tried twice: all of them roughly, and what looks promising again on the likeness proper.
 *
 * The rough look is a third of the triangles on two thirds of the columns each way, and tells good draws from bad ones
 * nearly as well; it only has to keep the good ones in. What is looked at again is therefore generous: the best tenth, those
 * that hold least, and all round every place that could become a candidate.
 */
import { dot, radians, type Pacer, type Vec3 } from '@oddside/core';
import { sketchPattern, type Pattern } from '@oddside/pattern';
import { admitsEitherWay, type DrawRules } from './draw-rules.js';
import { openTrier, type DrawToTry, type DrawTrier } from './draw-trier.js';
import type { OwnAxis } from './find-own-axes.js';
import type { HelpingThreads } from './open-threads.js';
import { coveringRadiusDeg, sampleDirections } from './sample-directions.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** How to sample. */
export interface DrawSampling {
  readonly samples: number;
  readonly searchColumns: number;
  /** Least angle between two candidates, degrees, and how many starting points are wanted. */
  readonly apartDeg: number;
  readonly wanted: number;
  /** Draws that need no cast, because they were ruled out without. */
  readonly ruledOut: (direction: Vec3) => boolean;
  /** Whether a still rougher likeness may be used. */
  readonly mayBeRough: boolean;
  readonly threads: HelpingThreads | undefined;
  readonly signal?: AbortSignal;
}

/** What was found: starting points, best first, and every draw once. */
export interface SampledDraws {
  readonly starts: readonly TriedDraw[];
  readonly tried: readonly TriedDraw[];
  /** Those whose figures are of the likeness proper. */
  readonly close: readonly TriedDraw[];
}

/** Triangles and columns of the rough look, over those of the likeness proper. */
const ROUGH_TRIANGLES = 1 / 3;
const ROUGH_COLUMNS = 2 / 3;
/** A likeness of fewer triangles than this is rough enough. */
const LEAST_TRIANGLES = 3000;
/** Shares of the draws looked at again: of the best, and of those that hold least. */
const BEST = 0.1;
const CLEANEST = 0.03;
/** Places looked at again all round beyond those wanted. */
const SPARE_PLACES = 5;
/** Neighbours of a draw are nearer than this many covering radii: the six round it are at 1.7, the next at 3. */
export const NEIGHBOURS = 2.2;

/**
 * Samples draws of a pattern with what tries them. Its own axes are only waited for where they are wanted. Progress runs to 0.6.
 */
export async function sampleDraws(
  pattern: Pattern,
  trier: DrawTrier,
  axes: Promise<readonly OwnAxis[]>,
  rules: DrawRules,
  sampling: DrawSampling,
  pacer: Pacer,
): Promise<SampledDraws> {
  const { samples, searchColumns, mayBeRough } = sampling;
  const near = Math.cos(radians(NEIGHBOURS * coveringRadiusDeg(samples)));
  const even: DrawToTry[] = sampleDirections(samples)
    .filter((direction) => admitsEitherWay(rules.cones, direction) && !sampling.ruledOut(direction))
    .map((direction) => ({ direction, from: 'even sampling' }));
  const count = pattern.triangles.length / 3;
  if (!mayBeRough || count < LEAST_TRIANGLES) {
    const tried = await trier.tryAll([...(await axes), ...even], searchColumns, rules, (part) =>
      pacer.step(0.6 * part),
    );
    return { starts: startsInOrder(tried, near), tried, close: tried };
  }
  const rough = await sketchPattern(pattern, { triangles: Math.round(ROUGH_TRIANGLES * count), quick: true });
  const columns = Math.max(16, Math.round(ROUGH_COLUMNS * searchColumns));
  const roughly = openTrier(rough, sampling.threads, sampling.signal);
  const seen = await roughly.tryAll(even, columns, rules, (part) => pacer.step(0.45 * part));
  const again = pickAgain(seen, near, sampling);
  const own = await axes;
  const closer = [...own, ...even.filter((_, i) => again[i])];
  const close = await trier.tryAll(closer, searchColumns, rules, (part) => pacer.step(0.45 + 0.15 * part));
  const rest = seen.filter((_, i) => !again[i]);
  const beaten = beatenRoughly(seen, again, near, close.slice(own.length));
  const starts = [...startsInOrder(close, near, beaten), ...rest.toSorted(drawOrder)];
  return { starts, tried: [...close, ...rest], close };
}

/** Marks the draws to look at again, by their number. */
function pickAgain(seen: readonly TriedDraw[], near: number, { apartDeg, wanted }: DrawSampling): Uint8Array {
  const again = new Uint8Array(seen.length);
  const all = numbered(seen);
  for (const { number } of all.toSorted(byOrder).slice(0, Math.ceil(BEST * seen.length))) again[number] = 1;
  for (const { number } of all.toSorted(bySandHeld).slice(0, Math.ceil(CLEANEST * seen.length))) again[number] = 1;
  const apart = Math.cos(radians(apartDeg));
  const places: TriedDraw[] = [];
  for (const start of startsInOrder(seen, near)) {
    if (places.length === wanted + SPARE_PLACES) break;
    if (places.every((place) => Math.abs(dot(place.direction, start.direction)) < apart)) places.push(start);
  }
  for (const place of places) markNear(seen, place.direction, near, again);
  return again;
}

/** A draw with its place in a list. */
interface NumberedDraw {
  readonly draw: TriedDraw;
  readonly number: number;
}

const numbered = (draws: readonly TriedDraw[]): NumberedDraw[] => draws.map((draw, number) => ({ draw, number }));

const byOrder = (a: NumberedDraw, b: NumberedDraw): number => drawOrder(a.draw, b.draw);

const bySandHeld = ({ draw: a }: NumberedDraw, { draw: b }: NumberedDraw): number =>
  a.over - b.over || a.backDraftMm3 - b.backDraftMm3;

function markNear(draws: readonly TriedDraw[], place: Vec3, near: number, marks: Uint8Array): void {
  for (let i = 0; i < draws.length; i++) if (Math.abs(dot(place, draws[i].direction)) > near) marks[i] = 1;
}

/** The draws looked at again beside which a better one, as the rough look had it, was not: they are in no valley of their own. */
function beatenRoughly(
  seen: readonly TriedDraw[],
  again: Uint8Array,
  near: number,
  close: readonly TriedDraw[],
): Set<TriedDraw> {
  const sorted = numbered(seen).sort(byOrder);
  const beaten = new Set<number>();
  const rest = new Float64Array(3 * seen.length);
  let count = 0;
  for (const { draw, number } of sorted) {
    if (again[number]) {
      if (hasNeighbour(rest, count, draw.direction, near)) beaten.add(number);
    } else {
      rest.set(draw.direction, 3 * count++);
    }
  }
  const first = seen.map((_, i) => i).filter((i) => again[i]);
  return new Set(close.filter((_, k) => beaten.has(first[k])));
}

/**
 * The order in which draws are taken as starting points: first those that are better than all their neighbours, because
 * each lies in a valley of its own, then the rest, so that there are always enough. Best first in both.
 *
 * @param near Cosine of the angle within which draws are neighbours.
 * @param beaten Draws known to have a better neighbour that is not among those tried.
 */
function startsInOrder(tried: readonly TriedDraw[], near: number, beaten?: Set<TriedDraw>): TriedDraw[] {
  const sorted = tried.toSorted(drawOrder);
  const valleys: TriedDraw[] = [];
  const rest: TriedDraw[] = [];
  const places = new Float64Array(3 * sorted.length);
  for (const [i, { direction }] of sorted.entries()) {
    (beaten?.has(sorted[i]) || hasNeighbour(places, i, direction, near) ? rest : valleys).push(sorted[i]);
    places.set(direction, 3 * i);
  }
  const all = [...valleys, ...rest];
  // No valley beyond a limit comes before the last draw that keeps within it.
  return [...all.filter((draw) => draw.over === 0), ...all.filter((draw) => draw.over > 0)];
}

/** Whether one of the first `count` places is near a direction. The last come first: what is near is mostly about as good. */
function hasNeighbour(places: Float64Array, count: number, [x, y, z]: Vec3, near: number): boolean {
  for (let k = 3 * (count - 1); k >= 0; k -= 3) {
    if (Math.abs(places[k] * x + places[k + 1] * y + places[k + 2] * z) > near) return true;
  }
  return false;
}
