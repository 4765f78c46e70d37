/**
 * What a search compares of a field of columns, read off the cells where the cast left them: what `sumColumns` and
 * `findFlatJoint` do, bit for bit. Built into one kernel with `cast.ts`; places are numbers of bytes into the memory.
 *
 * Sums are added up in the order of the cells, as the plain functions do. The two ends in the middle are the same however
 * they are found, so here a few of the ends, put in order, tell about where the middle lies, and only what lies between two
 * of those few is looked at again. Nothing in that jumps on what the ends are.
 */

const CELL: usize = 32;
const UPWARD: f64 = 2097152;

/** Ends put in order to see where the middle lies; no more than these are sorted at all. */
const FEW: usize = 24;
/** How far from where it should be among those few the middle may lie: nearly two standard deviations. */
const MARGIN: i32 = 4;

/**
 * Adds up cells. Writes to `sums`: columns unbalanced, intervals; lengths of envelope, metal, sand held, overlap and
 * what is unknown; and to `ends` the top and the bottom of each column that was hit.
 *
 * @returns How many were hit.
 */
export function sumCells(cells: usize, count: i32, sums: usize, ends: usize): i32 {
  let unbalanced = 0;
  let intervals: f64 = 0;
  let envelope: f64 = 0;
  let solid: f64 = 0;
  let held: f64 = 0;
  let overlap: f64 = 0;
  let unknown: f64 = 0;
  let next = ends;
  const last = cells + <usize>count * CELL;
  for (let at = cells; at < last; at += CELL) {
    const top = load<f64>(at);
    if (top === -Infinity) continue;
    v128.store(next, v128.load(at));
    next += 16;
    const height = top - load<f64>(at, 8);
    envelope += height;
    const crossings = load<f64>(at, 24);
    const upward = floor(crossings * (1 / UPWARD) + 0.5);
    if (crossings !== upward * UPWARD) {
      unbalanced++;
      unknown += height;
      continue;
    }
    intervals += upward;
    const metal = load<f64>(at, 16);
    solid += metal;
    const gap = height - metal;
    if (gap >= 0) held += gap;
    else overlap -= gap;
  }
  store<f64>(sums, <f64>unbalanced);
  store<f64>(sums, intervals, 8);
  store<f64>(sums, envelope, 16);
  store<f64>(sums, solid, 24);
  store<f64>(sums, held, 32);
  store<f64>(sums, overlap, 40);
  store<f64>(sums, unknown, 48);
  return <i32>((next - ends) >> 4);
}

/** Sum of the distances from a height to the columns whose ends these are. */
export function misfitLength(ends: usize, columns: i32, height: f64): f64 {
  const heights = f64x2.splat(height);
  const turned = f64x2(-0.0, 0);
  let sum: f64 = 0;
  const last = ends + ((<usize>columns) << 4);
  for (let at = ends; at < last; at += 16) {
    // How far the top is below and the bottom above: one of them at most is more than nothing.
    const off = v128.xor(f64x2.sub(v128.load(at), heights), turned);
    const gap = f64x2.pmax(f64x2.splat(0), off);
    sum += f64x2.extract_lane(gap, 0) + f64x2.extract_lane(gap, 1);
  }
  return sum;
}

/**
 * The lower of the two ends in the middle.
 *
 * @param columns Pairs of ends, one or more.
 * @param few Room for {@link FEW} numbers.
 * @param kept Room for as many as there are ends.
 */
export function lowMiddle(ends: usize, columns: i32, few: usize, kept: usize): f64 {
  let from = ends;
  let count = 2 * columns;
  let rank = columns - 1;
  while (count > <i32>FEW) {
    const step = (<usize>count / FEW) << 3;
    for (let k: usize = 0; k < FEW; k++) store<f64>(few + (k << 3), load<f64>(from + k * step));
    sort(few, <i32>FEW);
    const place = <i32>((<usize>rank * FEW) / <usize>count);
    const low = load<f64>(few + ((<usize>max(0, place - MARGIN)) << 3));
    const high = load<f64>(few + ((<usize>min(<i32>FEW - 1, place + MARGIN)) << 3));
    const upTo = countUpTo(from, count, low);
    if (rank >= upTo && rank < countBelow(from, count, high)) {
      count = keepBetween(from, count, low, high, kept);
      rank -= upTo;
    } else {
      // It is one of the two, or those few misled.
      const limit = rank < upTo ? low : high;
      const upToLimit = countUpTo(from, count, limit);
      if (rank >= upToLimit) {
        count = keepBetween(from, count, limit, Infinity, kept);
        rank -= upToLimit;
      } else {
        if (rank >= countBelow(from, count, limit)) return limit;
        count = keepBetween(from, count, -Infinity, limit, kept);
      }
    }
    from = kept;
  }
  for (let k: usize = 0; k < <usize>count; k++) store<f64>(few + (k << 3), load<f64>(from + (k << 3)));
  sort(few, count);
  return load<f64>(few + ((<usize>rank) << 3));
}

/** The higher of the two ends in the middle, of which the lower is known. */
export function highMiddle(ends: usize, columns: i32, low: f64): f64 {
  if (countUpTo(ends, 2 * columns, low) > columns) return low;
  const lows = f64x2.splat(low);
  let above = f64x2.splat(Infinity);
  const last = ends + ((<usize>columns) << 4);
  for (let at = ends; at < last; at += 16) {
    const pair = v128.load(at);
    above = f64x2.pmin(above, v128.bitselect(pair, above, f64x2.gt(pair, lows)));
  }
  return min(f64x2.extract_lane(above, 0), f64x2.extract_lane(above, 1));
}

/** How many of `count` numbers are no more than a limit. */
function countUpTo(from: usize, count: i32, limit: f64): i32 {
  const limits = f64x2.splat(limit);
  let sum = i64x2.splat(0);
  const last = from + ((<usize>(count & ~1)) << 3);
  for (let at = from; at < last; at += 16) sum = i64x2.sub(sum, f64x2.le(v128.load(at), limits));
  const odd = count & i32(load<f64>(last) <= limit);
  return odd + <i32>(i64x2.extract_lane(sum, 0) + i64x2.extract_lane(sum, 1));
}

/** How many of `count` numbers are less than a limit. */
function countBelow(from: usize, count: i32, limit: f64): i32 {
  const limits = f64x2.splat(limit);
  let sum = i64x2.splat(0);
  const last = from + ((<usize>(count & ~1)) << 3);
  for (let at = from; at < last; at += 16) sum = i64x2.sub(sum, f64x2.lt(v128.load(at), limits));
  const odd = count & i32(load<f64>(last) < limit);
  return odd + <i32>(i64x2.extract_lane(sum, 0) + i64x2.extract_lane(sum, 1));
}

/** Keeps what lies between two limits, which may take the place of what it is taken from; returns how many those are. */
function keepBetween(from: usize, count: i32, low: f64, high: f64, kept: usize): i32 {
  let next = kept;
  const last = from + ((<usize>count) << 3);
  for (let at = from; at < last; at += 8) {
    const value = load<f64>(at);
    store<f64>(next, value);
    next += (<usize>(i32(value > low) & i32(value < high))) << 3;
  }
  return <i32>((next - kept) >> 3);
}

/** Puts a few numbers in order. */
function sort(from: usize, count: i32): void {
  const last = from + ((<usize>count) << 3);
  for (let at = from + 8; at < last; at += 8) {
    const value = load<f64>(at);
    let to = at;
    for (; to > from && load<f64>(to - 8) > value; to -= 8) store<f64>(to, load<f64>(to - 8));
    store<f64>(to, value);
  }
}
