/**
 * What is done over and over to find a sloped joint: one round of improving surface and prices, and one look at how far
 * they are apart.
 *
 * A round is a primal-dual hybrid gradient step, reflected, and drawn back towards where the run started by less and less
 * (Halpern's iteration, which for linear programs closes in faster than the step alone; Lu and Yang 2024, from memory).
 */
import type { SlopedGrid, SlopedState } from './sloped-grid.js';

/** Lengths of one round's steps. */
export interface RoundSteps {
  /** Of the surface, and of the prices. Their product must be at most 1/16: eight limits meet in a column. */
  readonly step: number;
  readonly rate: number;
  /** Share kept of the new place against the start of the run, 0–1. */
  readonly keep: number;
  /** 1 to go on as far again beyond where the step leads, 0 to stop there. */
  readonly beyond: 0 | 1;
}

/** A grid in 32 bits, for the rounds. Surface and prices need not be exact: what they prove is worked out in 64 bits. */
export interface RoundsGrid extends Pick<SlopedGrid, 'width' | 'height' | 'stride'> {
  readonly low: Float32Array;
  readonly high: Float32Array;
  readonly most: number;
  readonly lowest: number;
  readonly highest: number;
}

/** A surface and its prices in 32 bits, see `SlopedState`. */
export interface RoundsState {
  readonly surface: Float32Array;
  readonly prices: readonly [Float32Array, Float32Array, Float32Array, Float32Array];
}

/** Rounds to 32 bits, as every step of a round is. */
const f = Math.fround;

/** What a price's limit takes off at each move, along the grid and across a corner. */
export function limitsOff(most: number, rate: number): { readonly straight: number; readonly across: number } {
  return { straight: f(most * rate), across: f(most * Math.SQRT2 * rate) };
}

/**
 * One round. `ahead` is scratch of the grid's size; `start` is where this run began.
 *
 * Cost: some 60 ns a column; in the kernel some 5.
 */
export function improveJoint(
  grid: RoundsGrid,
  state: RoundsState,
  start: RoundsState,
  ahead: Float32Array,
  steps: RoundSteps,
): void {
  moveSurface(grid, state, start.surface, ahead, steps);
  movePrices(grid, state.prices, start.prices, ahead, steps);
}

/** The surface follows the prices and the corridor. */
function moveSurface(
  { width, height, stride, low, high, ...ends }: RoundsGrid,
  { surface, prices: [east, south, southEast, southWest] }: RoundsState,
  start: Float32Array,
  ahead: Float32Array,
  steps: RoundSteps,
): void {
  const [step, keep, beyond] = [f(steps.step), f(steps.keep), steps.beyond];
  const [lowest, highest] = [f(ends.lowest), f(ends.highest)];
  const back = f(1 - keep);
  for (let row = 1; row <= height; row++) {
    const end = row * stride + width;
    for (let i = row * stride + 1; i <= end; i++) {
      const above = i - stride;
      let pull = f(east[i - 1] - east[i]);
      pull = f(pull + south[above]);
      pull = f(pull - south[i]);
      pull = f(pull + southEast[above - 1]);
      pull = f(pull - southEast[i]);
      pull = f(pull + southWest[above + 1]);
      pull = f(pull - southWest[i]);
      const old = surface[i];
      let z = f(old - f(step * pull));
      if (z < low[i]) {
        z = f(z + step);
        if (z > low[i]) z = low[i];
      } else if (z > high[i]) {
        z = f(z - step);
        if (z < high[i]) z = high[i];
      }
      if (z < lowest) z = lowest;
      else if (z > highest) z = highest;
      ahead[i] = f(f(z + z) - old);
      surface[i] = f(f(keep * f(z + f(beyond * f(z - old)))) + f(back * start[i]));
    }
  }
}

/** The prices follow where the surface is too steep. */
function movePrices(
  { width, height, stride, most }: RoundsGrid,
  [east, south, southEast, southWest]: RoundsState['prices'],
  [east0, south0, southEast0, southWest0]: RoundsState['prices'],
  ahead: Float32Array,
  steps: RoundSteps,
): void {
  const [rate, keep, beyond] = [f(steps.rate), f(steps.keep), steps.beyond];
  const back = f(1 - keep);
  const { straight, across } = limitsOff(most, steps.rate);
  for (let row = 1; row <= height; row++) {
    const first = row * stride + 1;
    const end = first + width;
    for (let i = first; i < end; i++) {
      const z = ahead[i];
      const e = east[i];
      const toEast = shrink(f(e + f(rate * f(ahead[i + 1] - z))), straight);
      east[i] = f(f(keep * f(toEast + f(beyond * f(toEast - e)))) + f(back * east0[i]));
      if (row === height) continue;
      const below = i + stride;
      const s = south[i];
      const toSouth = shrink(f(s + f(rate * f(ahead[below] - z))), straight);
      south[i] = f(f(keep * f(toSouth + f(beyond * f(toSouth - s)))) + f(back * south0[i]));
      const d = southEast[i];
      const toSouthEast = shrink(f(d + f(rate * f(ahead[below + 1] - z))), across);
      southEast[i] = f(f(keep * f(toSouthEast + f(beyond * f(toSouthEast - d)))) + f(back * southEast0[i]));
      const w = southWest[i];
      const toSouthWest = shrink(f(w + f(rate * f(ahead[below - 1] - z))), across);
      southWest[i] = f(f(keep * f(toSouthWest + f(beyond * f(toSouthWest - w)))) + f(back * southWest0[i]));
    }
    // What reaches into the ring is no limit.
    east[end - 1] = 0;
    southEast[end - 1] = 0;
    southWest[first] = 0;
  }
}

/** Takes a limit off a number, as far as zero. */
function shrink(value: number, limit: number): number {
  return value > limit ? f(value - limit) : value < -limit ? f(value + limit) : 0;
}

/** What the prices prove: no joint within the slope misses less. */
export function boundOf(grid: SlopedGrid, { prices: [east, south, southEast, southWest] }: SlopedState): number {
  const { width, height, stride, low, high, most, lowest, highest } = grid;
  let straight = 0;
  let across = 0;
  let bound = 0;
  for (let row = 1; row <= height; row++) {
    const end = row * stride + width;
    for (let i = row * stride + 1; i <= end; i++) {
      const above = i - stride;
      const pull =
        east[i - 1] -
        east[i] +
        south[above] -
        south[i] +
        southEast[above - 1] -
        southEast[i] +
        southWest[above + 1] -
        southWest[i];
      straight += Math.abs(east[i]) + Math.abs(south[i]);
      across += Math.abs(southEast[i]) + Math.abs(southWest[i]);
      // The best height for one column by itself is at an end of its span or of the whole range.
      bound +=
        low[i] === -Infinity
          ? Math.min(pull * lowest, pull * highest)
          : leastOver(pull, low[i], high[i], lowest, highest);
    }
  }
  return bound - most * (straight + Math.SQRT2 * across);
}

function leastOver(pull: number, low: number, high: number, lowest: number, highest: number): number {
  return Math.min(pull * low, pull * high, pull * lowest + low - lowest, pull * highest + highest - high);
}

/** Sum of the lengths by which a surface misses the corridor. */
export function missOf({ width, height, stride, low, high }: SlopedGrid, surface: Float64Array): number {
  let miss = 0;
  for (let row = 1; row <= height; row++) {
    const end = row * stride + width;
    for (let i = row * stride + 1; i <= end; i++) {
      const z = surface[i];
      if (z < low[i]) miss += low[i] - z;
      else if (z > high[i]) miss += z - high[i];
    }
  }
  return miss;
}

/** A surface within the slope near one that is not quite: half way between the highest under it and the lowest over it. */
export function withinSlope(grid: SlopedGrid, surface: Float64Array, out: Float64Array, scratch: Float64Array): void {
  spread(grid, surface, 1, out);
  spread(grid, surface, -1, scratch);
  for (let i = 0; i < out.length; i++) out[i] = (out[i] - scratch[i]) / 2;
}

/** Raises a surface times `sign` until it is within the slope, by two passes that know the whole grid. */
function spread(grid: SlopedGrid, surface: Float64Array, sign: 1 | -1, out: Float64Array): void {
  const { width, height, stride, most } = grid;
  const far = most * Math.SQRT2;
  out.fill(-Infinity);
  for (let row = 1; row <= height; row++) {
    const end = row * stride + width;
    for (let i = row * stride + 1; i <= end; i++) {
      const above = i - stride;
      const beside = Math.max(out[i - 1], out[above]) - most;
      const corner = Math.max(out[above - 1], out[above + 1]) - far;
      out[i] = Math.max(sign * surface[i], beside, corner);
    }
  }
  for (let row = height; row >= 1; row--) {
    for (let i = row * stride + width; i > row * stride; i--) {
      const below = i + stride;
      const beside = Math.max(out[i + 1], out[below]) - most;
      const corner = Math.max(out[below - 1], out[below + 1]) - far;
      out[i] = Math.max(out[i], beside, corner);
    }
  }
}
