/**
 * The best joint that is nowhere steeper than a slope, also where it crosses the pattern: the surface that traps least
 * besides the back draft.
 *
 * Convex: the sum of the columns' distances from the surface, under limits on the difference of neighbours (a linear
 * program). Solved with a price on every limit, surface and prices improved in turn. The prices give a proven lower bound,
 * the surface made good to its limits an upper one, and both are handed back.
 *
 * Coarse grids come first. News travels one column a round, so on the coarsest it crosses the pattern in a dozen rounds,
 * and each finer grid starts from what the one before found.
 */
import { boundOf, missOf, withinSlope } from './improve-sloped-joint.js';
import {
  coarsen,
  layGrid,
  levelState,
  refineState,
  type Corridor,
  type SlopedGrid,
  type SlopedState,
} from './sloped-grid.js';
import { startRounds } from './sloped-rounds.js';

export type { Corridor } from './sloped-grid.js';

/** A joint within the slope. */
export interface SlopedJoint {
  readonly heights: Float64Array;
  /** Sum of the lengths by which it misses the corridor, and the proven least of any joint within the slope. */
  readonly miss: number;
  readonly least: number;
}

/** Rounds between two looks at how far surface and prices are apart. */
const ROUNDS = 40;
/** A grid no wider than this is not coarsened again. */
const COARSEST = 14;
/** Gap to stop at on coarse grids, as a share of the one asked for: their answer is only a start. */
const COARSE_GAP = 0.5;
/** What the 32 bits of the rounds can tell apart, a column, as a share of the corridor's height: no gap closer than that is sought. */
const FINEST = 2 ** -22;
/** A run starts again from where it is when the gap has shrunk to this share, or to the second and no longer shrinks … */
const RESTART_SOON = 0.2;
const RESTART_STALLED = 0.8;
/** … or when it has lasted this share of all rounds on its grid. */
const RESTART_LATE = 0.36;
/** Length of the surface's way over that of the prices' at which both are held to be equally far from the answer. */
const WAYS = 4;

/**
 * Improves a joint until miss and bound are within a share of each other, or the looks are used up.
 *
 * @param share Gap to stop at, as a share of `scale`; no closer than a quarter of a millionth of the corridor's height, on
 *   the mean of its columns.
 * @param looks Looks on each grid at most.
 * @param tick Called between looks with a fraction; may yield.
 * @returns The joint. Cost: some 5 ns a column and round, 40 rounds a look; about ten looks for a gap of a hundredth.
 */
export async function fitSlopedJoint(
  corridor: Corridor,
  start: number,
  scale: number,
  share: number,
  looks: number,
  tick: (fraction: number) => Promise<void>,
): Promise<SlopedJoint> {
  const grids = [corridor];
  while (Math.max(grids[0].width, grids[0].height) > COARSEST) grids.unshift(coarsen(grids[0]));
  let grid = layGrid(grids[0]);
  let state = levelState(grid, start);
  let found: Found | undefined;
  for (const [level, corridorHere] of grids.entries()) {
    const coarser = 4 ** (grids.length - 1 - level);
    if (level > 0) {
      const finer = layGrid(corridorHere);
      state = refineState(grid, found?.state ?? state, finer);
      grid = finer;
    }
    const range = Math.max(grid.highest - grid.lowest, Number.MIN_VALUE);
    const weight = found ? found.weight / 2 : range / Math.sqrt(grid.width * grid.height);
    const asked = ((coarser > 1 ? COARSE_GAP : 1) * share * scale) / coarser;
    const gap = Math.max(asked, FINEST * range * grid.width * grid.height);
    // Each grid is four times the work of the one before.
    const from = (level > 0 ? 1 : 0) / (4 * coarser);
    const done = (fraction: number): Promise<void> => tick(from + fraction * (1 / coarser - from));
    found = await closeIn(grid, state, weight, gap, looks, done);
  }
  const { best, miss, least } = found!;
  return { heights: withoutRing(grid, best), miss, least };
}

interface Found {
  readonly best: Float64Array;
  readonly miss: number;
  readonly least: number;
  /** Length of the surface's steps against the prices' that was settled on. */
  readonly weight: number;
  /** Surface and prices as the last look saw them. */
  readonly state: SlopedState;
}

/** Closes in on one grid. */
async function closeIn(
  grid: SlopedGrid,
  start: SlopedState,
  startWeight: number,
  gapAsked: number,
  looks: number,
  tick: (fraction: number) => Promise<void>,
): Promise<Found> {
  const size = grid.low.length;
  const [good, scratch, best] = [0, 0, 0].map(() => new Float64Array(size));
  const rounds = startRounds(grid, start);
  let state = rounds.look();
  const origin = copyOf(start);
  let weight = startWeight;
  let miss = Infinity;
  let least = 0;
  let run = 0;
  let gapAtStart = Infinity;
  let gapBefore = Infinity;
  for (let look = 0; look < looks; look++) {
    const steps = { step: weight / 8, rate: 1 / (2 * weight) };
    for (let round = 1; round < ROUNDS; round++) {
      run++;
      rounds.improve({ ...steps, keep: run / (run + 1), beyond: 1 });
    }
    // The last round before a look stops where its step leads, which is nearer to keeping the limits.
    run++;
    rounds.improve({ ...steps, keep: 1, beyond: 0 });
    state = rounds.look();
    withinSlope(grid, state.surface, good, scratch);
    const missed = missOf(grid, good);
    if (missed < miss) {
      miss = missed;
      best.set(good);
    }
    const bound = boundOf(grid, state);
    least = Math.max(least, bound);
    if (miss - least <= gapAsked) break;
    const gap = missed - bound;
    const stalled = gap < RESTART_STALLED * gapAtStart && gap > gapBefore;
    const late = look > 0 && run > RESTART_LATE * (look + 1) * ROUNDS;
    gapBefore = gap;
    if (gap < RESTART_SOON * gapAtStart || stalled || late) {
      weight = rebalance(state, origin, weight);
      origin.surface.set(state.surface);
      origin.prices.forEach((price, s) => price.set(state.prices[s]));
      rounds.startAgain();
      run = 0;
      gapAtStart = gap;
      gapBefore = Infinity;
    }
    await tick((look + 1) / looks);
  }
  return { best, miss, least: Math.min(least, miss), weight, state };
}

function copyOf({ surface, prices: [east, south, southEast, southWest] }: SlopedState): SlopedState {
  return { surface: surface.slice(), prices: [east.slice(), south.slice(), southEast.slice(), southWest.slice()] };
}

/** Sets the steps by how far surface and prices went in the last run: whichever went further needs the longer ones. */
function rebalance(state: SlopedState, origin: SlopedState, weight: number): number {
  const far = squares(state.surface, origin.surface);
  const dear = state.prices.reduce((sum, price, s) => sum + squares(price, origin.prices[s]), 0);
  return far > 0 && dear > 0 ? Math.sqrt(weight * WAYS * Math.sqrt(far / dear)) : weight;
}

function squares(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] - b[i]) ** 2;
  return sum;
}

function withoutRing({ width, height, stride }: SlopedGrid, padded: Float64Array): Float64Array {
  const heights = new Float64Array(width * height);
  for (let row = 0; row < height; row++) {
    heights.set(padded.subarray((row + 1) * stride + 1, (row + 1) * stride + 1 + width), row * width);
  }
  return heights;
}
