/**
 * The column pass for WebAssembly, in AssemblyScript: what `src/cast-plainly.ts` does, bit for bit, two numbers at a time.
 * Built into `src/cast-kernel-bytes.ts` by `build-kernel.mjs`. Every place is a number of bytes into the memory:
 * a corner is three f64, a triangle three u32, a word one i32, a cell four f64.
 *
 * Why it is fast: which of a triangle's corners is the lowest, how many rows it crosses and whether a row meets a column
 * cannot be foreseen, and a processor that guesses wrong loses a dozen steps. So corners are put in order by choosing, not by
 * jumping; rows are gone through one after another, whatever triangle they belong to; those that meet no column are written
 * like the others and overwritten by the next; both edges of a row are worked out side by side; and the cells are filled
 * from the list of rows afterwards.
 */

/** See `UPWARD` of column-field.ts. */
const UPWARD: f64 = 2097152;
/** See cast-plainly.ts. */
const CLEAR_OF_AXIS: f64 = 1e-9;

/** Bytes. */
const CORNER: usize = 24;
const TRIANGLE: usize = 12;
const CELL: usize = 32;
/** A triangle with its corners in the order of their rows, see {@link orderCorners}. */
const ORDERED: usize = 32;
/** A row of a triangle: where the long edge meets it and where the short one, their heights, their columns; the row. */
const SPAN: usize = 48;
/** Where the row stands in an ordered triangle's lowest, middle and highest corner. */
const LOW_ROW: usize = 6;
const MIDDLE_ROW: usize = 14;
const HIGH_ROW: usize = 22;
/** Added to a whole number it leaves that number in the low half of its bits. */
const WHOLE: f64 = 6755399441055744;
/** What a row counts for in a word of row and column. */
const ROW_WORD: f64 = 65536;

/** Turns corners into the frame of the draw; writes the box that holds them to `box`: least x y z, greatest x y z. */
export function project(
  positions: usize,
  corners: i32,
  placed: usize,
  box: usize,
  ox: f64,
  oy: f64,
  oz: f64,
  ux: f64,
  uy: f64,
  uz: f64,
  vx: f64,
  vy: f64,
  vz: f64,
  dx: f64,
  dy: f64,
  dz: f64,
): void {
  let lowX = f64x2.splat(Infinity);
  let lowY = f64x2.splat(Infinity);
  let lowZ = f64x2.splat(Infinity);
  let highX = f64x2.splat(-Infinity);
  let highY = f64x2.splat(-Infinity);
  let highZ = f64x2.splat(-Infinity);
  // Two corners at a time; after an odd last one its own copy stands.
  for (let i = 0; i < corners; i += 2) {
    const from = positions + <usize>i * CORNER;
    const a = v128.load(from);
    const b = v128.load(from, 16);
    const c = v128.load(from, 32);
    const px = f64x2.sub(v128.shuffle<f64>(a, b, 0, 3), f64x2.splat(ox));
    const py = f64x2.sub(v128.shuffle<f64>(a, c, 1, 2), f64x2.splat(oy));
    const pz = f64x2.sub(v128.shuffle<f64>(b, c, 0, 3), f64x2.splat(oz));
    const x = along(px, py, pz, ux, uy, uz);
    const y = along(px, py, pz, vx, vy, vz);
    const z = along(px, py, pz, dx, dy, dz);
    const to = placed + <usize>i * CORNER;
    v128.store(to, v128.shuffle<f64>(x, y, 0, 2));
    v128.store(to, v128.shuffle<f64>(z, x, 0, 3), 16);
    v128.store(to, v128.shuffle<f64>(y, z, 1, 3), 32);
    lowX = f64x2.pmin(lowX, x);
    lowY = f64x2.pmin(lowY, y);
    lowZ = f64x2.pmin(lowZ, z);
    highX = f64x2.pmax(highX, x);
    highY = f64x2.pmax(highY, y);
    highZ = f64x2.pmax(highZ, z);
  }
  store<f64>(box, least(lowX));
  store<f64>(box, least(lowY), 8);
  store<f64>(box, least(lowZ), 16);
  store<f64>(box, -least(f64x2.neg(highX)), 24);
  store<f64>(box, -least(f64x2.neg(highY)), 32);
  store<f64>(box, -least(f64x2.neg(highZ)), 40);
}

function along(px: v128, py: v128, pz: v128, x: f64, y: f64, z: f64): v128 {
  const xy = f64x2.add(f64x2.mul(px, f64x2.splat(x)), f64x2.mul(py, f64x2.splat(y)));
  return f64x2.add(xy, f64x2.mul(pz, f64x2.splat(z)));
}

function least(pair: v128): f64 {
  return min(f64x2.extract_lane(pair, 0), f64x2.extract_lane(pair, 1));
}

/** In-plane places in units of columns, column axes at whole numbers; and each corner's row and column word. */
export function placeOnGrid(placed: usize, words: usize, corners: i32, u0: f64, v0: f64, perColumn: f64): void {
  const rate = f64x2.splat(perColumn);
  for (let k = 0; k < corners; k += 2) {
    const at = placed + <usize>k * CORNER;
    const a = v128.load(at);
    const b = v128.load(at, 16);
    const c = v128.load(at, 32);
    let x = f64x2.mul(f64x2.sub(v128.shuffle<f64>(a, b, 0, 3), f64x2.splat(u0)), rate);
    const y = f64x2.mul(f64x2.sub(v128.shuffle<f64>(a, c, 1, 2), f64x2.splat(v0)), rate);
    const column = f64x2.ceil(x);
    const short = f64x2.sub(column, x);
    const before = f64x2.sub(column, f64x2.splat(CLEAR_OF_AXIS));
    const past = f64x2.add(f64x2.sub(column, f64x2.splat(1)), f64x2.splat(CLEAR_OF_AXIS));
    x = v128.bitselect(past, x, f64x2.gt(short, f64x2.splat(1 - CLEAR_OF_AXIS)));
    x = v128.bitselect(before, x, f64x2.lt(short, f64x2.splat(CLEAR_OF_AXIS)));
    v128.store(at, v128.shuffle<f64>(x, y, 0, 2));
    v128.store(at, v128.shuffle<f64>(b, x, 0, 3), 16);
    v128.store(at, v128.shuffle<f64>(y, c, 1, 3), 32);
    const word = wholeOf(f64x2.add(f64x2.mul(f64x2.ceil(y), f64x2.splat(ROW_WORD)), column));
    const to = words + ((<usize>k) << 2);
    store<i32>(to, i32x4.extract_lane(word, 0));
    store<i32>(to, i32x4.extract_lane(word, 2), 4);
  }
}

/** Whole numbers as i32, each in the low half of its place. */
function wholeOf(numbers: v128): v128 {
  return f64x2.add(numbers, f64x2.splat(WHOLE));
}

/** Empties cells. */
export function clear(cells: usize, count: i32): void {
  const end = cells + <usize>count * CELL;
  for (let at = cells; at < end; at += CELL) {
    v128.store(at, f64x2(-Infinity, Infinity));
    v128.store(at, f64x2.splat(0), 16);
  }
}

/**
 * Fills the cells with all triangles.
 *
 * @param crossed Room for the places of `block` triangles.
 * @param ordered Room for {@link ORDERED} bytes times `block`, and as much again as one.
 * @param spans Room for {@link SPAN} bytes times `mostSpans`, and as much again as one.
 */
export function fill(
  triangles: usize,
  count: i32,
  placed: usize,
  words: usize,
  crossed: usize,
  ordered: usize,
  block: i32,
  spans: usize,
  mostSpans: i32,
  cells: usize,
  nu: i32,
  rounder: f64,
): void {
  const end = triangles + <usize>count * TRIANGLE;
  const full = spans + <usize>mostSpans * SPAN;
  for (let from = triangles; from < end; from += <usize>block * TRIANGLE) {
    const last = pickCrossed(from, min(end, from + <usize>block * TRIANGLE), words, crossed);
    let to = ordered;
    for (let next = crossed; next < last; next += 4, to += ORDERED) orderCorners(load<u32>(next), placed, words, to);
    let at = ordered;
    let row = <i32>load<i16>(at, LOW_ROW);
    while (at < to) {
      let span = spans;
      while (at < to && span < full) {
        span += listSpan(at, row, span);
        row++;
        const done = row === <i32>load<i16>(at, HIGH_ROW);
        row = select<i32>(<i32>load<i16>(at, ORDERED + LOW_ROW), row, done);
        at += <usize>i32(done) * ORDERED;
      }
      for (let k = spans; k < span; k += SPAN) fillSpan(k, cells, nu, rounder);
    }
  }
}

/** Lists the triangles that may contain a column axis: those whose corners differ in row and in column. */
function pickCrossed(from: usize, to: usize, words: usize, picked: usize): usize {
  let next = picked;
  for (let t = from; t < to; t += TRIANGLE) {
    const word = wordOf(load<u32>(t), words);
    const differ = (word ^ wordOf(load<u32>(t, 4), words)) | (word ^ wordOf(load<u32>(t, 8), words));
    store<u32>(next, <u32>t);
    next += (<usize>(i32((differ & 0xffff) !== 0) & i32(differ >>> 16 !== 0))) << 2;
  }
  return next;
}

function wordOf(corner: u32, words: usize): i32 {
  return load<i32>(words + ((<usize>corner) << 2));
}

/** Writes a triangle's corners in the order of their rows, and whether that turned it round. */
function orderCorners(triangle: usize, placed: usize, words: usize, to: usize): void {
  const a = keyOf(load<u32>(triangle), 0, placed, words);
  const b = keyOf(load<u32>(triangle, 4), 1, placed, words);
  const c = keyOf(load<u32>(triangle, 8), 2, placed, words);
  // Three exchanges do it; an odd number of them turns the triangle round.
  const p = min(a, b);
  const q = max(a, b);
  const r = min(q, c);
  store<i64>(to, min(p, r));
  store<i64>(to, max(p, r), 8);
  store<i64>(to, max(q, c), 16);
  store<i32>(to, i32(b < a) ^ i32(c < q) ^ i32(r < p), 24);
}

/** A corner's row, then which of the triangle's it is, so that those of one row keep their order; in the low half its place. */
function keyOf(corner: u32, which: i32, placed: usize, words: usize): i64 {
  const row = (wordOf(corner, words) & 0xffff0000) | which;
  return ((<i64>row) << 32) | (<i64>(placed + <usize>corner * CORNER));
}

/** Lists a row of a triangle; returns the bytes to go on by, none if it meets no column. */
function listSpan(ordered: usize, row: i32, span: usize): usize {
  const low = load<u32>(ordered);
  const middle = load<u32>(ordered, 8);
  const high = load<u32>(ordered, 16);
  const below = row < <i32>load<i16>(ordered, MIDDLE_ROW);
  const from = select<u32>(low, middle, below);
  const to = select<u32>(middle, high, below);
  // In each pair of numbers the long edge comes first, then the short one that the row crosses.
  const lowXY = v128.load(low);
  const highXY = v128.load(high);
  const fromXY = v128.load(from);
  const toXY = v128.load(to);
  const fromX = v128.shuffle<f64>(lowXY, fromXY, 0, 2);
  const fromY = v128.shuffle<f64>(lowXY, fromXY, 1, 3);
  const fromZ = v128.shuffle<f64>(v128.load(low, 8), v128.load(from, 8), 1, 3);
  const overX = f64x2.sub(v128.shuffle<f64>(highXY, toXY, 0, 2), fromX);
  const overY = f64x2.sub(v128.shuffle<f64>(highXY, toXY, 1, 3), fromY);
  const overZ = f64x2.sub(v128.shuffle<f64>(v128.load(high, 8), v128.load(to, 8), 1, 3), fromZ);
  const part = f64x2.div(f64x2.sub(f64x2.splat(<f64>row), fromY), overY);
  const x = f64x2.add(fromX, f64x2.mul(part, overX));
  const z = f64x2.add(fromZ, f64x2.mul(part, overZ));
  const columns = wholeOf(f64x2.ceil(x));
  const long = i32x4.extract_lane(columns, 0);
  const short = i32x4.extract_lane(columns, 2);
  v128.store(span, x);
  v128.store(span, z, 16);
  store<i32>(span, long, 32);
  store<i32>(span, short, 36);
  store<i32>(span, (row << 1) | load<i32>(ordered, 24), 40);
  return <usize>i32(long !== short) * SPAN;
}

/** Fills the cells of one row of a triangle. */
function fillSpan(span: usize, cells: usize, nu: i32, rounder: f64): void {
  const longX = load<f64>(span);
  const shortX = load<f64>(span, 8);
  const longZ = load<f64>(span, 16);
  const shortZ = load<f64>(span, 24);
  const longColumn = load<i32>(span, 32);
  const shortColumn = load<i32>(span, 36);
  const rowAndTurn = load<i32>(span, 40);
  const slope = (shortZ - longZ) / (shortX - longX);
  // Seen against the draw an upward triangle runs anticlockwise: its middle corner is right of its long edge.
  const upward = <f64>(i32(longColumn < shortColumn) ^ (rowAndTurn & 1));
  const sign = 2 * upward - 1;
  const crossing = upward * (UPWARD + 2) - 1;
  const last = max(longColumn, shortColumn);
  let column = min(longColumn, shortColumn);
  let cell = cells + <usize>((rowAndTurn >> 1) * nu + column) * CELL;
  for (; column < last; column++) {
    const z = longZ + (<f64>column - longX) * slope + rounder - rounder;
    const height = f64x2.splat(z);
    const ends = v128.load(cell);
    v128.store(cell, v128.shuffle<f64>(f64x2.pmax(ends, height), f64x2.pmin(ends, height), 0, 3));
    v128.store(cell, f64x2.add(v128.load(cell, 16), f64x2(sign * z, crossing)), 16);
    cell += CELL;
  }
}

/**
 * Lists the numbers of the triangles whose boxes cross a line of the grid near a numbered edge, see `src/pick-near-rim.ts`: as
 * far as the words tell, by which the corners were last placed.
 *
 * @param first Number of the first triangle looked at, and how many are.
 * @param alongU How many numbered edges come before each column and row, those along u, as u32; and likewise along v.
 */
export function pickNear(
  triangles: usize,
  first: i32,
  count: i32,
  words: usize,
  picked: usize,
  alongU: usize,
  alongV: usize,
  nu: i32,
  nv: i32,
): usize {
  let next = picked;
  let t = triangles + <usize>first * TRIANGLE;
  for (let k = first; k < first + count; k++, t += TRIANGLE) {
    const a = wordOf(load<u32>(t), words);
    const b = wordOf(load<u32>(t, 4), words);
    const c = wordOf(load<u32>(t, 8), words);
    // The row is the upper half of a word, so the words' own order is that of the rows.
    const low = min(min(a, b), c) >>> 16;
    const high = max(max(a, b), c) >>> 16;
    const left = min(min(a & 0xffff, b & 0xffff), c & 0xffff);
    const right = max(max(a & 0xffff, b & 0xffff), c & 0xffff);
    if (low === high && left === right) continue;
    store<i32>(next, k);
    // Of an edge the lower end is in the cell before it; a column on either side is looked at as well.
    const near =
      (low < high && hasEdge(alongU, nu + 1, nv, left - 1, right + 3, low, high)) ||
      (left < right && hasEdge(alongV, nu, nv + 1, left, right, low - 1, high + 3));
    next += (<usize>i32(near)) << 2;
  }
  return next;
}

/** Whether a numbered edge lies in columns from `left` up to but not `right`, and rows likewise; off the table there is none. */
function hasEdge(before: usize, columns: i32, rows: i32, left: i32, right: i32, low: i32, high: i32): bool {
  const from = max(left, 0);
  const to = min(right, columns);
  const first = max(low, 0) * (columns + 1);
  const last = min(high, rows) * (columns + 1);
  if (to <= from || last <= first) return false;
  return (
    countAt(before, last + to) - countAt(before, last + from) !==
    countAt(before, first + to) - countAt(before, first + from)
  );
}

function countAt(before: usize, place: i32): i32 {
  return load<i32>(before + ((<usize>place) << 2));
}
