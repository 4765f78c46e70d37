/**
 * The column pass for WebAssembly, in AssemblyScript: what `src/cast-plainly.ts` does, bit for bit, two numbers at a time.
 * Built into `src/cast-kernel-bytes.ts` by `build-kernel.mjs`. Every place is a number of bytes into the memory:
 * a corner is three f64, a triangle three u32, a word one i32, a cell four f64.
 *
 * Why it is fast: which of a triangle's corners is the lowest, how many rows it crosses and whether a row meets a column
 * cannot be foreseen, and a processor that guesses wrong loses a dozen steps. So corners are put in order by choosing, not by
 * jumping; rows that meet no column are written like the others and overwritten by the next; both edges of a row are worked
 * out side by side; and the cells are filled from the list of rows afterwards.
 */

/** See `UPWARD` of column-field.ts. */
const UPWARD: f64 = 2097152;
/** See cast-plainly.ts. */
const CLEAR_OF_AXIS: f64 = 1e-9;

/** Bytes. */
const CORNER: usize = 24;
const TRIANGLE: usize = 12;
const CELL: usize = 32;
const SPAN: usize = 64;

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
  for (let k = 0; k < corners; k++) {
    const at = placed + <usize>k * CORNER;
    let x = (load<f64>(at) - u0) * perColumn;
    const y = (load<f64>(at, 8) - v0) * perColumn;
    const column = ceil(x);
    const short = column - x;
    if (short < CLEAR_OF_AXIS) x = column - CLEAR_OF_AXIS;
    else if (short > 1 - CLEAR_OF_AXIS) x = column - 1 + CLEAR_OF_AXIS;
    store<f64>(at, x);
    store<f64>(at, y, 8);
    store<i32>(words + ((<usize>k) << 2), ((<i32>ceil(y)) << 16) | (<i32>column));
  }
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
 * @param picked Room for the places of `block` triangles.
 * @param spans Room for {@link SPAN} bytes times `mostSpans` and the rows of one triangle more.
 */
export function fill(
  triangles: usize,
  count: i32,
  placed: usize,
  words: usize,
  picked: usize,
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
    const last = pickCrossed(from, min(end, from + <usize>block * TRIANGLE), words, picked);
    let next = picked;
    while (next < last) {
      let span = spans;
      for (; next < last && span < full; next += 4) span = listSpans(<usize>load<u32>(next), placed, words, span);
      for (let at = spans; at < span; at += SPAN) fillSpan(at, cells, nu, rounder);
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

/** Lists the rows of a triangle that meet a column; returns where the next span goes. */
function listSpans(triangle: usize, placed: usize, words: usize, spans: usize): usize {
  const a = load<u32>(triangle);
  const b = load<u32>(triangle, 4);
  const c = load<u32>(triangle, 8);
  const rowA = wordOf(a, words) >> 16;
  const rowB = wordOf(b, words) >> 16;
  const rowC = wordOf(c, words) >> 16;
  // Three exchanges put the corners in the order of their rows; an odd number of them turns the triangle round.
  const first = rowB < rowA;
  const rowP = min(rowA, rowB);
  const rowQ = max(rowA, rowB);
  const p = select<u32>(b, a, first);
  const q = select<u32>(a, b, first);
  const second = rowC < rowQ;
  const highRow = max(rowQ, rowC);
  const rowR = min(rowQ, rowC);
  const highest = select<u32>(q, c, second);
  const r = select<u32>(c, q, second);
  const third = rowR < rowP;
  const lowRow = min(rowP, rowR);
  const middleRow = max(rowP, rowR);
  const low = placed + <usize>select<u32>(r, p, third) * CORNER;
  const middle = placed + <usize>select<u32>(p, r, third) * CORNER;
  const high = placed + <usize>highest * CORNER;
  const turned = i32(first) ^ i32(second) ^ i32(third);

  // In each pair of numbers the long edge comes first, then the short one that the row crosses.
  const lowXY = v128.load(low);
  const highXY = v128.load(high);
  let next = spans;
  for (let row = lowRow; row < highRow; row++) {
    const below = row < middleRow;
    const from = select<usize>(low, middle, below);
    const to = select<usize>(middle, high, below);
    const fromXY = v128.load(from);
    const toXY = v128.load(to);
    const fromX = v128.shuffle<f64>(lowXY, fromXY, 0, 2);
    const fromY = v128.shuffle<f64>(lowXY, fromXY, 1, 3);
    const overX = f64x2.sub(v128.shuffle<f64>(highXY, toXY, 0, 2), fromX);
    const overY = f64x2.sub(v128.shuffle<f64>(highXY, toXY, 1, 3), fromY);
    const part = f64x2.div(f64x2.sub(f64x2.splat(<f64>row), fromY), overY);
    const x = f64x2.add(fromX, f64x2.mul(part, overX));
    const up = f64x2.ceil(x);
    const firstColumn = <i32>f64x2.extract_lane(up, 0);
    const otherColumn = <i32>f64x2.extract_lane(up, 1);
    v128.store(next, x);
    v128.store(next, part, 16);
    store<i32>(next, firstColumn, 32);
    store<i32>(next, otherColumn, 36);
    store<i32>(next, (row << 1) | turned, 40);
    store<u32>(next, <u32>low, 44);
    store<u32>(next, <u32>high, 48);
    store<u32>(next, <u32>from, 52);
    store<u32>(next, <u32>to, 56);
    next += <usize>i32(firstColumn !== otherColumn) * SPAN;
  }
  return next;
}

/** Fills the cells of one row of a triangle. */
function fillSpan(span: usize, cells: usize, nu: i32, rounder: f64): void {
  const longX = load<f64>(span);
  const shortX = load<f64>(span, 8);
  const longColumn = load<i32>(span, 32);
  const shortColumn = load<i32>(span, 36);
  const rowAndTurn = load<i32>(span, 40);
  const longZ = heightAt(load<u32>(span, 44), load<u32>(span, 48), load<f64>(span, 16));
  const shortZ = heightAt(load<u32>(span, 52), load<u32>(span, 56), load<f64>(span, 24));
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

function heightAt(from: u32, to: u32, part: f64): f64 {
  const z = load<f64>(<usize>from, 16);
  return z + part * (load<f64>(<usize>to, 16) - z);
}
