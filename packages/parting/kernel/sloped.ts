/**
 * One round of improving a sloped joint for WebAssembly, in AssemblyScript: what `src/improve-sloped-joint.ts` does, bit for
 * bit, two columns at a time. Built into `src/sloped-kernel-bytes.ts` by `build-kernel.mjs`.
 *
 * Every place is a number of bytes into the memory, of a grid with its ring: rows of `stride` f64. The prices of the limits
 * to the east, south, south-east and south-west follow one another, `size` bytes apart, and so do those of the start.
 *
 * The surface moves by the old prices of its own row and the row above, and prices by the new surface of their own row and
 * the row below. So the prices can follow one row behind in the same sweep, while that row is still in the nearest cache.
 */

/** One round: the surface follows the prices and the corridor, the prices follow where it is too steep. */
export function improve(
  width: i32,
  height: i32,
  stride: i32,
  low: usize,
  high: usize,
  lowest: f64,
  highest: f64,
  most: f64,
  surface: usize,
  prices: usize,
  size: usize,
  start: usize,
  starts: usize,
  ahead: usize,
  step: f64,
  rate: f64,
  keep: f64,
  beyond: f64,
): void {
  const straight = most * rate;
  const across = most * Math.SQRT2 * rate;
  const row = (<usize>stride) << 3;
  const length = (<usize>width) << 3;
  let first = row + 8;
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
  lowest: f64,
  highest: f64,
  surface: usize,
  prices: usize,
  size: usize,
  start: usize,
  ahead: usize,
  step: f64,
  keep: f64,
  beyond: f64,
): void {
  const south = prices + size;
  const southEast = south + size;
  const southWest = southEast + size;
  const steps = f64x2.splat(step);
  for (let i = first; i < end; i += 16) {
    let pull = f64x2.sub(v128.load(prices + i - 8), v128.load(prices + i));
    pull = f64x2.add(pull, v128.load(south + i - up));
    pull = f64x2.sub(pull, v128.load(south + i));
    pull = f64x2.add(pull, v128.load(southEast + i - up - 8));
    pull = f64x2.sub(pull, v128.load(southEast + i));
    pull = f64x2.add(pull, v128.load(southWest + i - up + 8));
    pull = f64x2.sub(pull, v128.load(southWest + i));
    const old = v128.load(surface + i);
    const free = f64x2.sub(old, f64x2.mul(steps, pull));
    const least = v128.load(low + i);
    const most = v128.load(high + i);
    const raised = f64x2.pmin(least, f64x2.add(free, steps));
    const lowered = f64x2.pmax(most, f64x2.sub(free, steps));
    let z = v128.bitselect(raised, v128.bitselect(lowered, free, f64x2.gt(free, most)), f64x2.lt(free, least));
    z = f64x2.pmin(f64x2.pmax(z, f64x2.splat(lowest)), f64x2.splat(highest));
    const over = f64x2.mul(f64x2.splat(beyond), f64x2.sub(z, old));
    const moved = f64x2.add(
      f64x2.mul(f64x2.splat(keep), f64x2.add(z, over)),
      f64x2.mul(f64x2.splat(1 - keep), v128.load(start + i)),
    );
    const next = f64x2.sub(f64x2.add(z, z), old);
    if (i + 8 < end) {
      v128.store(ahead + i, next);
      v128.store(surface + i, moved);
    } else {
      // An odd last column: what is beside it is the ring.
      store<f64>(ahead + i, f64x2.extract_lane(next, 0));
      store<f64>(surface + i, f64x2.extract_lane(moved, 0));
    }
  }
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
  straight: f64,
  across: f64,
  rate: f64,
  keep: f64,
  beyond: f64,
  last: bool,
): void {
  for (let i = first; i < end; i += 16) {
    const alone = i + 8 >= end;
    const z = v128.load(ahead + i);
    movePrice(prices + i, starts + i, v128.load(ahead + i + 8), z, straight, rate, keep, beyond, alone);
    if (last) continue;
    const below = ahead + i + down;
    let at = prices + i + size;
    let from = starts + i + size;
    movePrice(at, from, v128.load(below), z, straight, rate, keep, beyond, alone);
    at += size;
    from += size;
    movePrice(at, from, v128.load(below + 8), z, across, rate, keep, beyond, alone);
    at += size;
    from += size;
    movePrice(at, from, v128.load(below - 8), z, across, rate, keep, beyond, alone);
  }
  // What reaches into the ring is no limit.
  store<f64>(prices + end - 8, 0);
  store<f64>(prices + 2 * size + end - 8, 0);
  store<f64>(prices + 3 * size + first, 0);
}

function movePrice(
  at: usize,
  start: usize,
  there: v128,
  here: v128,
  limit: f64,
  rate: f64,
  keep: f64,
  beyond: f64,
  alone: bool,
): void {
  const old = v128.load(at);
  const raw = f64x2.add(old, f64x2.mul(f64x2.splat(rate), f64x2.sub(there, here)));
  const most = f64x2.splat(limit);
  const shrunk = v128.or(
    v128.and(f64x2.sub(raw, most), f64x2.gt(raw, most)),
    v128.and(f64x2.add(raw, most), f64x2.lt(raw, f64x2.splat(-limit))),
  );
  const over = f64x2.mul(f64x2.splat(beyond), f64x2.sub(shrunk, old));
  const moved = f64x2.add(
    f64x2.mul(f64x2.splat(keep), f64x2.add(shrunk, over)),
    f64x2.mul(f64x2.splat(1 - keep), v128.load(start)),
  );
  if (alone) store<f64>(at, f64x2.extract_lane(moved, 0));
  else v128.store(at, moved);
}
