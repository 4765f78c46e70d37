/**
 * One round of improving a sloped joint for WebAssembly, in AssemblyScript: what `src/improve-sloped-joint.ts` does, bit for
 * bit, four columns at a time. Built into `src/sloped-kernel-bytes.ts` by `build-kernel.mjs`.
 *
 * Every place is a number of bytes into the memory, of a grid with its ring: rows of `stride` f32. The prices of the limits
 * to the east, south, south-east and south-west follow one another, `size` bytes apart, and so do those of the start.
 *
 * The surface moves by the old prices of its own row and the row above, and prices by the new surface of their own row and
 * the row below. So the prices can follow one row behind in the same sweep, while that row is still in the nearest cache.
 */

/** Bytes of four columns. */
const FOUR: usize = 16;

/** One round: the surface follows the prices and the corridor, the prices follow where it is too steep. */
export function improve(
  width: i32,
  height: i32,
  stride: i32,
  low: usize,
  high: usize,
  lowest: f32,
  highest: f32,
  straight: f32,
  across: f32,
  surface: usize,
  prices: usize,
  size: usize,
  start: usize,
  starts: usize,
  ahead: usize,
  step: f32,
  rate: f32,
  keep: f32,
  beyond: f32,
): void {
  const row = (<usize>stride) << 2;
  const length = (<usize>width) << 2;
  let first = row + 4;
  for (let k = 1; k <= height; k++) {
    const end = first + length;
    moveSurface(first, end, row, low, high, lowest, highest, surface, prices, size, start, ahead, step, keep, beyond);
    if (k > 1) {
      const above = first - row;
      movePrices(above, above + length, row, prices, size, starts, ahead, straight, across, rate, keep, beyond, false);
    }
    first += row;
  }
  const last = first - row;
  movePrices(last, last + length, row, prices, size, starts, ahead, straight, across, rate, keep, beyond, true);
}

/** One row of the surface, from the place `first` up to `end`. */
function moveSurface(
  first: usize,
  end: usize,
  up: usize,
  low: usize,
  high: usize,
  lowest: f32,
  highest: f32,
  surface: usize,
  prices: usize,
  size: usize,
  start: usize,
  ahead: usize,
  step: f32,
  keep: f32,
  beyond: f32,
): void {
  const south = prices + size;
  const southEast = south + size;
  const southWest = southEast + size;
  const steps = f32x4.splat(step);
  const keeps = f32x4.splat(keep);
  const backs = f32x4.splat(1 - keep);
  const beyonds = f32x4.splat(beyond);
  const bottom = f32x4.splat(lowest);
  const top = f32x4.splat(highest);
  for (let i = first; i < end; i += FOUR) {
    let pull = f32x4.sub(v128.load(prices + i - 4), v128.load(prices + i));
    pull = f32x4.add(pull, v128.load(south + i - up));
    pull = f32x4.sub(pull, v128.load(south + i));
    pull = f32x4.add(pull, v128.load(southEast + i - up - 4));
    pull = f32x4.sub(pull, v128.load(southEast + i));
    pull = f32x4.add(pull, v128.load(southWest + i - up + 4));
    pull = f32x4.sub(pull, v128.load(southWest + i));
    const old = v128.load(surface + i);
    const free = f32x4.sub(old, f32x4.mul(steps, pull));
    const least = v128.load(low + i);
    const most = v128.load(high + i);
    const raised = f32x4.pmin(least, f32x4.add(free, steps));
    const lowered = f32x4.pmax(most, f32x4.sub(free, steps));
    let z = v128.bitselect(raised, v128.bitselect(lowered, free, f32x4.gt(free, most)), f32x4.lt(free, least));
    z = f32x4.pmin(f32x4.pmax(z, bottom), top);
    const beside = f32x4.add(z, f32x4.mul(beyonds, f32x4.sub(z, old)));
    v128.store(ahead + i, f32x4.sub(f32x4.add(z, z), old));
    v128.store(surface + i, f32x4.add(f32x4.mul(keeps, beside), f32x4.mul(backs, v128.load(start + i))));
  }
  // The last four may have reached beyond the row.
  v128.store(ahead + end, f32x4.splat(0));
  v128.store(surface + end, f32x4.splat(0));
}

/** The prices of one row; in the last only those to the east are limits. */
function movePrices(
  first: usize,
  end: usize,
  down: usize,
  prices: usize,
  size: usize,
  starts: usize,
  ahead: usize,
  straight: f32,
  across: f32,
  rate: f32,
  keep: f32,
  beyond: f32,
  last: bool,
): void {
  const rates = f32x4.splat(rate);
  const keeps = f32x4.splat(keep);
  const backs = f32x4.splat(1 - keep);
  const beyonds = f32x4.splat(beyond);
  const near = f32x4.splat(straight);
  const far = f32x4.splat(across);
  for (let i = first; i < end; i += FOUR) {
    const z = v128.load(ahead + i);
    Prices.move(prices + i, starts + i, v128.load(ahead + i + 4), z, near, rates, keeps, backs, beyonds);
    if (last) continue;
    const below = ahead + i + down;
    let at = prices + i + size;
    let from = starts + i + size;
    Prices.move(at, from, v128.load(below), z, near, rates, keeps, backs, beyonds);
    at += size;
    from += size;
    Prices.move(at, from, v128.load(below + 4), z, far, rates, keeps, backs, beyonds);
    at += size;
    from += size;
    Prices.move(at, from, v128.load(below - 4), z, far, rates, keeps, backs, beyonds);
  }
  // What reaches into the ring is no limit, nor is what the last four reached beyond it.
  v128.store(prices + end - 4, f32x4.splat(0));
  v128.store(prices + size + end, f32x4.splat(0));
  v128.store(prices + 2 * size + end - 4, f32x4.splat(0));
  v128.store(prices + 3 * size + end, f32x4.splat(0));
  store<f32>(prices + 3 * size + first, 0);
}

/** Only a method can be told to be put in where it is called: a call for every four prices would cost more than what it does. */
class Prices {
  @inline
  static move(
    at: usize,
    start: usize,
    there: v128,
    here: v128,
    limit: v128,
    rates: v128,
    keeps: v128,
    backs: v128,
    beyonds: v128,
  ): void {
    const old = v128.load(at);
    const raw = f32x4.add(old, f32x4.mul(rates, f32x4.sub(there, here)));
    const shrunk = v128.or(
      v128.and(f32x4.sub(raw, limit), f32x4.gt(raw, limit)),
      v128.and(f32x4.add(raw, limit), f32x4.lt(raw, f32x4.neg(limit))),
    );
    const beside = f32x4.add(shrunk, f32x4.mul(beyonds, f32x4.sub(shrunk, old)));
    v128.store(at, f32x4.add(f32x4.mul(keeps, beside), f32x4.mul(backs, v128.load(start))));
  }
}
