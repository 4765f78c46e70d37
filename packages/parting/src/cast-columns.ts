/**
 * The signed column pass: one walk over the triangles, one grid, no sorting and no rays.
 *
 * Why it is exact where it matters (geometry of two-part moulds, depth buffers with signed sums): a column through a
 * closed surface crosses as many upward as downward faces, and the signed sum of the crossing heights is the length of
 * metal in it. Highest minus lowest minus that length is the sand shut in between, which for a pattern that draws is zero
 * in every column, not merely small, because the same two heights are subtracted.
 *
 * Why nothing leaks or counts twice: each edge meets each row of the grid at one place that both its triangles compute
 * from the same two corners in the same order, and a triangle owns the columns from its left edge (included) to its right
 * edge (excluded). Which rows an edge meets is decided on whole numbers.
 *
 * Why it is fast: for each corner the first row and the first column of the grid at or past it are packed in one 32-bit
 * word. A triangle whose three words agree in either half contains no column axis; on a large scan that settles most
 * triangles with three loads and one test.
 */
import { checkNumber, frameAcross, unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { CELL_STRIDE, UPWARD, type ColumnField } from './column-field.js';

/** Largest grid side; a row and a column number must fit in 15 bits each. */
export const MOST_COLUMNS = 8192;

/**
 * How far the grid is turned off the frame's own axes, radians. Its tangent is the golden section, and that of what is
 * left to 45° is the golden section's cube: along edges of parts square to their own axes, or at 45° to them, rows and
 * columns then fall as evenly as they can, where a simple fraction would hit or miss the edge every few rows alike.
 */
const GRID_TURN = 0.5535743588970452;

/** Arrays reused from one cast to the next; one per search, never shared between searches. */
export interface CastScratch {
  /** In-plane places in columns, and heights: x y z of each corner. */
  readonly placed: Float64Array;
  /** Row and column words of each corner. */
  readonly words: Int32Array;
  /** Centre of the pattern's box, mm. */
  readonly origin: Vec3;
  cells: Float64Array;
}

/** Scratch arrays for casting one pattern repeatedly. Memory: 28 bytes a corner. */
export function makeScratch(pattern: Pattern): CastScratch {
  const corners = pattern.positions.length / 3;
  return {
    placed: new Float64Array(corners * 3),
    words: new Int32Array(corners),
    origin: boxCentre(pattern.positions),
    cells: new Float64Array(0),
  };
}

/**
 * Casts the columns of a pattern along a draw.
 *
 * @param direction The cope's draw; need not be of unit length.
 * @param columns Columns across the longer side of the shadow's box, 2–8192.
 * @param scratch Arrays to reuse. The returned field's `cells` then belong to the scratch and live until the next cast.
 * @returns The field. Cost: one pass over corners and one over triangles; about 10 ns a triangle plus 10 ns a crossing.
 * @throws OddsideError `bad-direction`, `bad-number`.
 */
export function castColumns(
  pattern: Pattern,
  direction: Vec3,
  columns: number,
  scratch: CastScratch = makeScratch(pattern),
): ColumnField {
  checkNumber('columns', columns, { min: 2, max: MOST_COLUMNS, whole: true });
  const d = unitVector(direction);
  const { u, v } = turnedFrame(d);
  const { origin } = scratch;
  const box = project(pattern.positions, origin, u, v, d, scratch.placed);

  const across = Math.max(box.maxX - box.minX, box.maxY - box.minY);
  // A pattern seen exactly edge on still needs a column width: any length of its own size will do.
  const column = across > 0 ? across / columns : Math.max(box.maxZ - box.minZ, 1) / columns;
  const nu = Math.min(columns, Math.max(1, Math.ceil((box.maxX - box.minX) / column)));
  const nv = Math.min(columns, Math.max(1, Math.ceil((box.maxY - box.minY) / column)));
  const u0 = (box.minX + box.maxX) / 2 - ((nu - 1) / 2) * column;
  const v0 = (box.minY + box.maxY) / 2 - ((nv - 1) / 2) * column;

  const needed = nu * nv * CELL_STRIDE;
  if (scratch.cells.length < needed) scratch.cells = new Float64Array(needed);
  const cells = scratch.cells.subarray(0, needed);
  clear(cells);
  placeOnGrid(scratch.placed, scratch.words, u0, v0, 1 / column);
  const rounder = heightRounder(box.minZ, box.maxZ);
  fill(pattern.triangles, scratch.placed, scratch.words, { cells, nu, rounder });
  return { direction: d, u, v, origin, column, nu, nv, u0, v0, cells, lowest: box.minZ, highest: box.maxZ };
}

/**
 * How wide the shadow of a pattern is along a draw: the longer side of the box that columns are laid in, mm.
 *
 * @throws OddsideError `bad-direction`.
 */
export function shadowAcross(pattern: Pattern, direction: Vec3): number {
  const { u, v } = turnedFrame(unitVector(direction));
  const { positions } = pattern;
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  let maxY = -Infinity;
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i] * u[0] + positions[i + 1] * u[1] + positions[i + 2] * u[2];
    const y = positions[i] * v[0] + positions[i + 1] * v[1] + positions[i + 2] * v[2];
    if (x < minX) minX = x;
    if (x > maxX) maxX = x;
    if (y < minY) minY = y;
    if (y > maxY) maxY = y;
  }
  return maxX >= minX ? Math.max(maxX - minX, maxY - minY) : 0;
}

/** The frame across a draw, turned by an angle that no part was drawn to. */
function turnedFrame(d: Vec3): { u: Vec3; v: Vec3 } {
  const { u, v } = frameAcross(d);
  const c = Math.cos(GRID_TURN);
  const s = Math.sin(GRID_TURN);
  return {
    u: [c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]],
    v: [c * v[0] - s * u[0], c * v[1] - s * u[1], c * v[2] - s * u[2]],
  };
}

/** Centre of the box of a pattern's corners, mm: the local origin that keeps far-away patterns exact. */
export function boxCentre(positions: Float64Array): Vec3 {
  let x0 = Infinity;
  let y0 = Infinity;
  let z0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  let z1 = -Infinity;
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i]!;
    const y = positions[i + 1]!;
    const z = positions[i + 2]!;
    if (x < x0) x0 = x;
    if (x > x1) x1 = x;
    if (y < y0) y0 = y;
    if (y > y1) y1 = y;
    if (z < z0) z0 = z;
    if (z > z1) z1 = z;
  }
  return x1 >= x0 ? [(x0 + x1) / 2, (y0 + y1) / 2, (z0 + z1) / 2] : [0, 0, 0];
}

interface Box {
  readonly minX: number;
  readonly maxX: number;
  readonly minY: number;
  readonly maxY: number;
  readonly minZ: number;
  readonly maxZ: number;
}

function project(positions: Float64Array, origin: Vec3, u: Vec3, v: Vec3, d: Vec3, out: Float64Array): Box {
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
    // Rounding up by hand: places are never below −1, so truncation is rounding up already for the negative ones.
    let column = x | 0;
    if (column < x) column++;
    let row = y | 0;
    if (row < y) row++;
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

interface Grid {
  readonly cells: Float64Array;
  readonly nu: number;
  /** See {@link heightRounder}. */
  readonly rounder: number;
}

function fill(triangles: Uint32Array, placed: Float64Array, words: Int32Array, grid: Grid): void {
  const picked = new Int32Array(BLOCK);
  for (let from = 0; from < triangles.length; from += 3 * BLOCK) {
    const to = Math.min(triangles.length, from + 3 * BLOCK);
    const count = pickCrossed(triangles, from, to, words, picked);
    for (let k = 0; k < count; k++) {
      const t = picked[k]!;
      fillTriangle(triangles[t]!, triangles[t + 1]!, triangles[t + 2]!, placed, words, grid);
    }
  }
}

function fillTriangle(
  a: number,
  b: number,
  c: number,
  placed: Float64Array,
  words: Int32Array,
  { cells, nu, rounder }: Grid,
): void {
  const rowA = words[a]! >> 16;
  const rowB = words[b]! >> 16;
  const rowC = words[c]! >> 16;
  const end = Math.max(rowA, rowB, rowC);
  for (let row = Math.min(rowA, rowB, rowC); row < end; row++) {
    // One corner is alone on its side of the row; the two edges that meet in it are the ones crossed. Seen against the
    // draw an upward triangle runs anticlockwise, so its falling edge is on the left and its rising one on the right.
    let alone: number;
    let next: number;
    let previous: number;
    let past: boolean;
    if (row < rowB === row < rowC) {
      alone = a * 3;
      next = b * 3;
      previous = c * 3;
      past = row < rowA;
    } else if (row < rowA === row < rowC) {
      alone = b * 3;
      next = c * 3;
      previous = a * 3;
      past = row < rowB;
    } else {
      alone = c * 3;
      next = a * 3;
      previous = b * 3;
      past = row < rowC;
    }
    // The same edge is worked out from its lower corner in both its triangles, so that they agree to the last bit.
    const fallLow = past ? next : alone;
    const fallHigh = past ? alone : previous;
    const riseLow = past ? previous : alone;
    const riseHigh = past ? alone : next;
    const fallY = placed[fallLow + 1]!;
    const fallX = placed[fallLow]!;
    const riseY = placed[riseLow + 1]!;
    const riseX = placed[riseLow]!;
    const fallPart = (row - fallY) / (placed[fallHigh + 1]! - fallY);
    const risePart = (row - riseY) / (placed[riseHigh + 1]! - riseY);
    const fall = fallX + fallPart * (placed[fallHigh]! - fallX);
    const rise = riseX + risePart * (placed[riseHigh]! - riseX);
    const first = roundUp(Math.min(rise, fall));
    const last = roundUp(Math.max(rise, fall));
    if (first >= last) continue;

    // Most rows of small triangles run between two column axes; heights are worked out only where one is met.
    const fallZ = placed[fallLow + 2]!;
    const riseZ = placed[riseLow + 2]!;
    const zFall = fallZ + fallPart * (placed[fallHigh + 2]! - fallZ);
    const zRise = riseZ + risePart * (placed[riseHigh + 2]! - riseZ);
    const slope = (zRise - zFall) / (rise - fall);
    const sign = fall < rise ? 1 : -1;
    const crossing = fall < rise ? UPWARD + 1 : -1;
    let cell = (row * nu + first) << 2;
    for (let x = first; x < last; x++, cell += CELL_STRIDE) {
      const z = zFall + (x - fall) * slope + rounder - rounder;
      if (z > cells[cell]!) cells[cell] = z;
      if (z < cells[cell + 1]!) cells[cell + 1] = z;
      cells[cell + 2]! += sign * z;
      cells[cell + 3]! += crossing;
    }
  }
}

/**
 * A number which, added and taken away again, rounds heights to whole steps of a millionth of a millionth of the
 * pattern's size. Sums of whole steps are exact, so the length of metal in a column does not depend on the order in which
 * the triangles come, to the last bit.
 */
function heightRounder(lowest: number, highest: number): number {
  const size = Math.max(Math.abs(lowest), Math.abs(highest));
  return size > 0 ? 1.5 * 2 ** (Math.ceil(Math.log2(size)) + 12) : 0;
}

/** Rounds a place up to a whole column. Truncation rounds the places between −1 and 0 up already. */
function roundUp(place: number): number {
  const whole = place | 0;
  return whole < place ? whole + 1 : whole;
}
