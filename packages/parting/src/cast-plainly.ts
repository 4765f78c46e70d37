/**
 * The column pass in plain TypeScript. The kernel of WebAssembly does the same, bit for bit; this one runs everywhere, and it
 * is what a single cast uses, because it needs nothing copied first.
 */
import type { Vec3 } from '@oddside/core';
import type { CastBox, CastEngine, CastGrid } from './cast-engine.js';
import { CELL_STRIDE, UPWARD } from './column-field.js';
import { makeFlatJointRoom } from './find-flat-joint.js';
import { tallyPlainly } from './tally-columns.js';

/** A pass over these arrays. Memory: 28 bytes a corner. */
export function castPlainly(positions: Float64Array, triangles: Uint32Array): CastEngine {
  // In-plane places in columns, and heights: x y z of each corner; and its row and column word.
  const placed = new Float64Array(positions.length);
  const words = new Int32Array(positions.length / 3);
  let kept = new Float64Array(0);
  const room = makeFlatJointRoom();
  return {
    place: (origin, u, v, d) => project(positions, origin, u, v, d, placed),
    fillCells: (grid) => {
      const needed = grid.nu * grid.nv * CELL_STRIDE;
      if (kept.length < needed) kept = new Float64Array(needed);
      const cells = kept.subarray(0, needed);
      clear(cells);
      placeOnGrid(placed, words, grid.u0, grid.v0, 1 / grid.column);
      fill(triangles, placed, words, cells, grid);
      return cells;
    },
    tally: (field) => tallyPlainly(field, room),
  };
}

function project(positions: Float64Array, origin: Vec3, u: Vec3, v: Vec3, d: Vec3, out: Float64Array): CastBox {
  const [ox, oy, oz] = origin;
  const [ux, uy, uz] = u;
  const [vx, vy, vz] = v;
  const [dx, dy, dz] = d;
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  let maxY = -Infinity;
  let minZ = Infinity;
  let maxZ = -Infinity;
  for (let i = 0; i < positions.length; i += 3) {
    const px = positions[i]! - ox;
    const py = positions[i + 1]! - oy;
    const pz = positions[i + 2]! - oz;
    const x = px * ux + py * uy + pz * uz;
    const y = px * vx + py * vy + pz * vz;
    const z = px * dx + py * dy + pz * dz;
    out[i] = x;
    out[i + 1] = y;
    out[i + 2] = z;
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
    if (z < minZ) minZ = z;
    if (z > maxZ) maxZ = z;
  }
  if (!(maxX >= minX)) return { minX: 0, maxX: 0, minY: 0, maxY: 0, minZ: 0, maxZ: 0 };
  return { minX, maxX, minY, maxY, minZ, maxZ };
}

function clear(cells: Float64Array): void {
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    cells[i] = -Infinity;
    cells[i + 1] = Infinity;
    cells[i + 2] = 0;
    cells[i + 3] = 0;
  }
}

/** Places nearer a column axis than this are moved off it, in columns: far above rounding, far below any surface. */
const CLEAR_OF_AXIS = 1e-9;

/** In-plane places in units of columns, column axes at whole numbers; and each corner's row and column word. */
function placeOnGrid(placed: Float64Array, words: Int32Array, u0: number, v0: number, perColumn: number): void {
  for (let i = 0, k = 0; i < placed.length; i += 3, k++) {
    let x = (placed[i]! - u0) * perColumn;
    const y = (placed[i + 1]! - v0) * perColumn;
    const column = Math.ceil(x) | 0;
    const row = Math.ceil(y) | 0;
    // Where an edge crosses a row is computed to a rounding; clear of the axes, that can never carry it past one that
    // its own corners do not pass, which is what the words decide.
    const short = column - x;
    if (short < CLEAR_OF_AXIS) x = column - CLEAR_OF_AXIS;
    else if (short > 1 - CLEAR_OF_AXIS) x = column - 1 + CLEAR_OF_AXIS;
    placed[i] = x;
    placed[i + 1] = y;
    words[k] = (row << 16) | column;
  }
}

/** Triangles looked through at a time before the useful ones are filled: short enough for the nearest cache. */
const BLOCK = 4096;

/**
 * Notes which of a block's triangles may contain a column axis. Advancing by the test's outcome instead of branching on
 * it keeps the loop free of jumps that cannot be foreseen.
 */
function pickCrossed(triangles: Uint32Array, from: number, to: number, words: Int32Array, picked: Int32Array): number {
  let count = 0;
  for (let t = from; t < to; t += 3) {
    const word = words[triangles[t]!]!;
    const differ = (word ^ words[triangles[t + 1]!]!) | (word ^ words[triangles[t + 2]!]!);
    picked[count] = t;
    // 1 where both halves differ: the sign bit of the negative of a number above zero.
    count += (-(differ & 0xffff) >>> 31) & (-(differ >>> 16) >>> 31);
  }
  return count;
}

function fill(
  triangles: Uint32Array,
  placed: Float64Array,
  words: Int32Array,
  cells: Float64Array,
  { nu, rounder }: CastGrid,
): void {
  const picked = new Int32Array(BLOCK);
  for (let from = 0; from < triangles.length; from += 3 * BLOCK) {
    const to = Math.min(triangles.length, from + 3 * BLOCK);
    const count = pickCrossed(triangles, from, to, words, picked);
    for (let k = 0; k < count; k++) {
      const t = picked[k]!;
      fillTriangle(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!, placed, words, cells, nu, rounder);
    }
  }
}

function fillTriangle(
  a: number,
  b: number,
  c: number,
  placed: Float64Array,
  words: Int32Array,
  cells: Float64Array,
  nu: number,
  rounder: number,
): void {
  const rowA = words[a]! >> 16;
  const rowB = words[b]! >> 16;
  const rowC = words[c]! >> 16;
  // Three exchanges put the corners in the order of their rows; an odd number of them turns the triangle round. Which are
  // needed cannot be foreseen, so they are done on masks and not by jumps.
  const first = (rowB - rowA) >> 31;
  const rowP = rowA ^ ((rowA ^ rowB) & first);
  const rowQ = rowB ^ ((rowA ^ rowB) & first);
  const p = a ^ ((a ^ b) & first);
  const q = b ^ ((a ^ b) & first);
  const second = (rowC - rowQ) >> 31;
  const rowR = rowQ ^ ((rowQ ^ rowC) & second);
  const highRow = rowC ^ ((rowQ ^ rowC) & second);
  const r = q ^ ((q ^ c) & second);
  const high = 3 * (c ^ ((q ^ c) & second));
  const third = (rowR - rowP) >> 31;
  const lowRow = rowP ^ ((rowP ^ rowR) & third);
  const middleRow = rowR ^ ((rowP ^ rowR) & third);
  const low = 3 * (p ^ ((p ^ r) & third));
  const middle = 3 * (r ^ ((p ^ r) & third));
  const turned = (first ^ second ^ third) & 1;

  // Each row crosses the long edge, and one of the two short ones. An edge is worked out from its lower corner in both its
  // triangles, so that they agree to the last bit.
  const longX = placed[low]!;
  const longY = placed[low + 1]!;
  const longOverX = placed[high]! - longX;
  const longOverY = placed[high + 1]! - longY;
  for (let from = low, to = middle, row = lowRow, end = middleRow; ; from = middle, to = high, end = highRow) {
    const shortX = placed[from]!;
    const shortY = placed[from + 1]!;
    const shortOverX = placed[to]! - shortX;
    const shortOverY = placed[to + 1]! - shortY;
    for (; row < end; row++) {
      const longPart = (row - longY) / longOverY;
      const shortPart = (row - shortY) / shortOverY;
      const long = longX + longPart * longOverX;
      const short = shortX + shortPart * shortOverX;
      const longColumn = Math.ceil(long) | 0;
      const shortColumn = Math.ceil(short) | 0;
      if (longColumn === shortColumn) continue;

      // Most rows of small triangles run between two column axes; heights are worked out only where one is met.
      const longZ = placed[low + 2]! + longPart * (placed[high + 2]! - placed[low + 2]!);
      const shortZ = placed[from + 2]! + shortPart * (placed[to + 2]! - placed[from + 2]!);
      const slope = (shortZ - longZ) / (short - long);
      // Seen against the draw an upward triangle runs anticlockwise: its middle corner is right of its long edge.
      const upward = (longColumn < shortColumn ? 1 : 0) ^ turned;
      const sign = upward ? 1 : -1;
      const crossing = upward ? UPWARD + 1 : -1;
      const last = Math.max(longColumn, shortColumn);
      let x = Math.min(longColumn, shortColumn);
      for (let cell = (row * nu + x) * CELL_STRIDE; x < last; x++, cell += CELL_STRIDE) {
        const z = longZ + (x - long) * slope + rounder - rounder;
        cells[cell] = Math.max(z, cells[cell]!);
        cells[cell + 1] = Math.min(z, cells[cell + 1]!);
        cells[cell + 2]! += sign * z;
        cells[cell + 3]! += crossing;
      }
    }
    if (end === highRow) return;
  }
}
