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
const FEW: usize = 16;
/** How far from where it should be among those few the middle may lie: one and a half standard deviations. */
const MARGIN: i32 = 3;

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
    // As many downward as upward surfaces leave a whole number of the weight of an upward one.
    const upward = load<f64>(at, 24) * (1 / UPWARD);
    if (upward !== floor(upward)) {
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
 * @param kept Room for twice as many as there are ends.
 */
export function lowMiddle(ends: usize, columns: i32, few: usize, kept: usize): f64 {
  let from = ends;
  let to = kept;
  let count = 2 * columns;
  let rank = columns - 1;
  while (count > <i32>FEW) {
    const step = (<usize>count / FEW) << 3;
    for (let k: usize = 0; k < FEW; k++) store<f64>(few + (k << 3), load<f64>(from + k * step));
    sort(few, <i32>FEW);
    const place = <i32>((<usize>rank * FEW) / <usize>count);
    let low = load<f64>(few + ((<usize>max(0, place - MARGIN)) << 3));
    let high = load<f64>(few + ((<usize>min(<i32>FEW - 1, place + MARGIN)) << 3));
    for (;;) {
      // Keeps what lies between, and behind it what is neither more nor less than anything, because pairs are read.
      let next = to;
      let overs = i64x2.splat(0);
      const lows = f64x2.splat(low);
      const highs = f64x2.splat(high);
      const last = from + ((<usize>count) << 3);
      for (let at = from; at < last; at += 16) {
        const pair = v128.load(at);
        const over = f64x2.gt(pair, lows);
        overs = i64x2.sub(overs, over);
        const kept = i64x2.bitmask(v128.and(over, f64x2.lt(pair, highs)));
        v128.store_lane<i64>(next, pair, 0);
        next += ((<usize>kept) & 1) << 3;
        v128.store_lane<i64>(next, pair, 1);
        next += ((<usize>kept) & 2) << 2;
      }
      store<f64>(next, NaN);
      const upTo = count - bothOf(overs);
      const between = <i32>((next - to) >> 3);
      if (rank < upTo) {
        // It is the lower limit itself, or those few misled.
        if (rank >= countBelow(from, count, low)) return low;
        high = low;
        low = -Infinity;
      } else if (rank >= upTo + between) {
        if (rank < countUpTo(from, count, high)) return high;
        low = high;
        high = Infinity;
      } else {
        rank -= upTo;
        count = between;
        break;
      }
    }
    const room = from === ends ? kept + ((<usize>columns) << 4) : from;
    from = to;
    to = room;
  }
  for (let k: usize = 0; k < <usize>count; k++) store<f64>(few + (k << 3), load<f64>(from + (k << 3)));
  sort(few, count);
  return load<f64>(few + ((<usize>rank) << 3));
}

/** The higher of the two ends in the middle, of which the lower is known. */
export function highMiddle(ends: usize, columns: i32, low: f64): f64 {
  const lows = f64x2.splat(low);
  let overs = i64x2.splat(0);
  let least = f64x2.splat(Infinity);
  const last = ends + ((<usize>columns) << 4);
  for (let at = ends; at < last; at += 16) {
    const pair = v128.load(at);
    const over = f64x2.gt(pair, lows);
    overs = i64x2.sub(overs, over);
    least = f64x2.pmin(least, v128.bitselect(pair, least, over));
  }
  // Are fewer than half of them over it, then it has both places in the middle.
  if (bothOf(overs) < columns) return low;
  return min(f64x2.extract_lane(least, 0), f64x2.extract_lane(least, 1));
}

/** How many of `count` numbers are no more than a limit. */
function countUpTo(from: usize, count: i32, limit: f64): i32 {
  const limits = f64x2.splat(limit);
  let sum = i64x2.splat(0);
  const last = from + ((<usize>count) << 3);
  for (let at = from; at < last; at += 16) sum = i64x2.sub(sum, f64x2.le(v128.load(at), limits));
  return bothOf(sum);
}

/** How many of `count` numbers are less than a limit. */
function countBelow(from: usize, count: i32, limit: f64): i32 {
  const limits = f64x2.splat(limit);
  let sum = i64x2.splat(0);
  const last = from + ((<usize>count) << 3);
  for (let at = from; at < last; at += 16) sum = i64x2.sub(sum, f64x2.lt(v128.load(at), limits));
  return bothOf(sum);
}

/** Two counts in one. */
function bothOf(counts: v128): i32 {
  return <i32>(i64x2.extract_lane(counts, 0) + i64x2.extract_lane(counts, 1));
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
