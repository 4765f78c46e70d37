/**
 * The best joint that is nowhere steeper than a slope, also where it crosses the pattern: the surface that traps least
 * besides the back draft.
 *
 * Convex: the sum of the columns' distances from the surface, under limits on the difference of neighbours (a linear
 * program). Solved with a price on every limit, surface and prices improved in turn (primal-dual hybrid gradient). The
 * prices give a proven lower bound, the surface made good to its limits an upper one, and both are handed back.
 */

/** Columns with the span the joint should pass through; `low > high` where there is no metal and any height will do. */
export interface Corridor {
  readonly width: number;
  readonly height: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Most that neighbours along a row or column may differ, mm; across a corner √2 times that. */
  readonly most: number;
}

/** A joint within the slope. */
export interface SlopedJoint {
  readonly heights: Float64Array;
  /** Sum of the lengths by which it misses the corridor, and the proven least of any joint within the slope. */
  readonly miss: number;
  readonly least: number;
}

/** Steps to the four neighbours that make each pair once. */
const STEPS = [
  [1, 0, 1],
  [0, 1, 1],
  [1, 1, Math.SQRT2],
  [-1, 1, Math.SQRT2],
] as const;

/** Rounds between two looks at how far surface and prices are apart. */
const ROUNDS = 100;

/**
 * Improves a joint until miss and bound are within a share of each other, or the looks are used up.
 *
 * @param share Gap to stop at, as a share of `scale`.
 * @param tick Called between looks with a fraction; may yield.
 * @returns The joint. Cost: some 20 ns a column and round, up to 100 rounds a look.
 */
export async function fitSlopedJoint(
  corridor: Corridor,
  start: number,
  scale: number,
  share: number,
  looks: number,
  tick: (fraction: number) => Promise<void>,
): Promise<SlopedJoint> {
  const size = corridor.width * corridor.height;
  const [lowest, highest] = rangeOf(corridor);
  const surface = new Float64Array(size).fill(Math.min(highest, Math.max(lowest, start)));
  const prices = STEPS.map(() => new Float64Array(size));
  const pull = new Float64Array(size);
  const ahead = new Float64Array(size);
  let best: SlopedJoint = { heights: surface.slice(), miss: missOf(corridor, surface), least: 0 };
  // Length of the surface's steps against the prices': heights are of the range, prices of the columns that push.
  const weight = Math.max(highest - lowest, Number.MIN_VALUE) / Math.sqrt(size);
  for (let look = 0; look < looks; look++) {
    for (let round = 0; round < ROUNDS; round++)
      improve(corridor, surface, ahead, pull, prices, weight, lowest, highest);
    gather(corridor, prices, pull);
    const least = Math.max(best.least, boundOf(corridor, prices, pull, lowest, highest));
    const good = withinSlope(corridor, surface);
    const miss = missOf(corridor, good);
    best = miss < best.miss ? { heights: good, miss, least } : { ...best, least };
    if (best.miss - best.least <= share * scale) break;
    await tick((look + 1) / looks);
  }
  return { ...best, least: Math.min(best.least, best.miss) };
}

function rangeOf({ low, high }: Corridor): [number, number] {
  let lowest = Infinity;
  let highest = -Infinity;
  for (let i = 0; i < low.length; i++) {
    if (low[i] > high[i]) continue;
    lowest = Math.min(lowest, low[i]);
    highest = Math.max(highest, high[i]);
  }
  return lowest <= highest ? [lowest, highest] : [0, 0];
}

/** Calls back for every pair of neighbours. */
function eachPair({ width, height }: Corridor, s: number, visit: (i: number, j: number) => void): void {
  const [dx, dy] = STEPS[s];
  for (let row = 0; row + dy < height; row++) {
    for (let x = Math.max(0, -dx); x < Math.min(width, width - dx); x++) {
      const i = row * width + x;
      visit(i, i + dy * width + dx);
    }
  }
}

/** One round: the surface follows the prices and the corridor, the prices follow where the surface is too steep. */
function improve(
  corridor: Corridor,
  surface: Float64Array,
  ahead: Float64Array,
  pull: Float64Array,
  prices: readonly Float64Array[],
  weight: number,
  lowest: number,
  highest: number,
): void {
  const { low, high, most } = corridor;
  gather(corridor, prices, pull);
  const step = weight / 8;
  for (let i = 0; i < surface.length; i++) {
    let z = surface[i] - step * pull[i];
    if (low[i] <= high[i]) {
      if (z < low[i]) z = Math.min(low[i], z + step);
      else if (z > high[i]) z = Math.max(high[i], z - step);
    }
    z = z < lowest ? lowest : z > highest ? highest : z;
    ahead[i] = 2 * z - surface[i];
    surface[i] = z;
  }
  const rate = 1 / (2 * weight);
  for (let s = 0; s < STEPS.length; s++) {
    const price = prices[s];
    const limit = most * STEPS[s][2] * rate;
    eachPair(corridor, s, (i, j) => {
      const next = price[i] + rate * (ahead[j] - ahead[i]);
      price[i] = next > limit ? next - limit : next < -limit ? next + limit : 0;
    });
  }
}

/** Sum of the prices that pull on each column. */
function gather(corridor: Corridor, prices: readonly Float64Array[], pull: Float64Array): void {
  pull.fill(0);
  for (let s = 0; s < STEPS.length; s++) {
    const price = prices[s];
    eachPair(corridor, s, (i, j) => {
      pull[j] += price[i];
      pull[i] -= price[i];
    });
  }
}

/** What the prices prove: no joint within the slope misses less. */
function boundOf(
  corridor: Corridor,
  prices: readonly Float64Array[],
  pull: Float64Array,
  lowest: number,
  highest: number,
): number {
  const { low, high, most } = corridor;
  let bound = 0;
  for (let s = 0; s < STEPS.length; s++) {
    for (const price of prices[s]) bound -= most * STEPS[s][2] * Math.abs(price);
  }
  for (let i = 0; i < pull.length; i++) {
    const metal = low[i] <= high[i];
    const at = (z: number): number => pull[i] * z + (metal ? Math.max(0, low[i] - z, z - high[i]) : 0);
    let least = Math.min(at(lowest), at(highest));
    if (metal) least = Math.min(least, at(low[i]), at(high[i]));
    bound += least;
  }
  return bound;
}

function missOf({ low, high }: Corridor, heights: Float64Array): number {
  let miss = 0;
  for (let i = 0; i < heights.length; i++) {
    if (low[i] <= high[i]) miss += Math.max(0, low[i] - heights[i], heights[i] - high[i]);
  }
  return miss;
}

/** A surface within the slope near one that is not quite: half way between the highest under it and the lowest over it. */
function withinSlope(corridor: Corridor, surface: Float64Array): Float64Array {
  const over = spread(corridor, surface, 1);
  const under = spread(corridor, surface, -1);
  return over.map((z, i) => (z + under[i]) / 2);
}

/** Raises (`way` 1) or lowers (−1) a surface until it is within the slope, by two passes that know the whole grid. */
function spread(corridor: Corridor, surface: Float64Array, way: 1 | -1): Float64Array {
  const { width, height, most } = corridor;
  const out = surface.slice();
  const pass = (back: boolean): void => {
    for (let k = 0; k < out.length; k++) {
      const i = back ? out.length - 1 - k : k;
      const x = i % width;
      const row = (i - x) / width;
      for (const [dx, dy, far] of STEPS) {
        // The neighbours already passed: behind on the way there, ahead on the way back.
        const nx = back ? x + dx : x - dx;
        const nrow = back ? row + dy : row - dy;
        if (nx < 0 || nx >= width || nrow < 0 || nrow >= height) continue;
        const from = way * out[nrow * width + nx] - most * far;
        if (from > way * out[i]) out[i] = way * from;
      }
    }
  };
  pass(false);
  pass(true);
  return out;
}
