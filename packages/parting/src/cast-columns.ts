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
import { OddsideError, checkNumber, frameAcross, resolveOptions, unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { CastEngine } from './cast-engine.js';
import { openCastKernel } from './cast-kernel.js';
import { castPlainly } from './cast-plainly.js';
import type { ColumnField } from './column-field.js';

/** Largest grid side; a row and a column number must fit in 15 bits each. */
export const MOST_COLUMNS = 8192;

/**
 * How far the grid is turned off the frame's own axes, as a tangent: the golden section. That of what is left to 45° is the
 * golden section's cube: along edges of parts square to their own axes, or at 45° to them, rows and
 * columns then fall as evenly as they can, where a simple fraction would hit or miss the edge every few rows alike.
 */
const GRID_TANGENT = (Math.sqrt(5) - 1) / 2;
const GRID_COSINE = 1 / Math.sqrt(1 + GRID_TANGENT * GRID_TANGENT);
const GRID_SINE = GRID_TANGENT * GRID_COSINE;

/** What is reused from one cast of a pattern to the next; one per search, never shared between searches. */
export interface CastScratch {
  /** Centre of the pattern's box, mm. */
  readonly origin: Vec3;
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly engine: CastEngine;
}

/** How {@link makeScratch} may cast. */
export interface ScratchOptions {
  /**
   * Whether the pass may run in WebAssembly: about twice as fast, the same to the last bit. Where the platform does not
   * offer it, it runs in plain TypeScript as it does when this is false. Default true.
   */
  readonly kernel?: boolean;
}

/** Defaults of {@link makeScratch}. */
export const SCRATCH_DEFAULTS: Readonly<ScratchOptions> = Object.freeze({ kernel: true });

/**
 * Makes ready to cast one pattern repeatedly.
 *
 * @returns What to hand to every cast. Memory: up to 52 bytes a corner and 12 a triangle. The arrays of the pattern are
 *   copied where that makes casts faster, so they must not be changed afterwards.
 * @throws OddsideError `bad-option`.
 */
export function makeScratch(pattern: Pattern, options?: Partial<ScratchOptions>): CastScratch {
  const { kernel } = resolveOptions('makeScratch', SCRATCH_DEFAULTS, options);
  const { positions, triangles } = pattern;
  const engine = (kernel ? openCastKernel(positions, triangles) : null) ?? castPlainly(positions, triangles);
  return { origin: boxCentre(positions), positions, triangles, engine };
}

/**
 * Casts the columns of a pattern along a draw.
 *
 * @param direction The cope's draw; need not be of unit length.
 * @param columns Columns across the longer side of the shadow's box, 2–8192.
 * @param scratch From {@link makeScratch} with the same pattern. The returned field's `cells` then belong to the scratch and
 *   live until the next cast. Default: a pass in plain TypeScript whose cells are the caller's.
 * @returns The field. Cost: one pass over corners and one over triangles; about 10 ns a triangle plus 10 ns a crossing.
 * @throws OddsideError `bad-direction`, `bad-number`; `bad-option` for the scratch of another pattern.
 */
export function castColumns(
  pattern: Pattern,
  direction: Vec3,
  columns: number,
  scratch: CastScratch = makeScratch(pattern, { kernel: false }),
): ColumnField {
  checkNumber('columns', columns, { min: 2, max: MOST_COLUMNS, whole: true });
  if (scratch.positions !== pattern.positions || scratch.triangles !== pattern.triangles) throw otherPattern();
  const d = unitVector(direction);
  const { u, v } = turnedFrame(d);
  const { origin, engine } = scratch;
  const box = engine.place(origin, u, v, d);

  const across = Math.max(box.maxX - box.minX, box.maxY - box.minY);
  // A pattern seen exactly edge on still needs a column width: any length of its own size will do.
  const column = across > 0 ? across / columns : Math.max(box.maxZ - box.minZ, 1) / columns;
  const nu = Math.min(columns, Math.max(1, Math.ceil((box.maxX - box.minX) / column)));
  const nv = Math.min(columns, Math.max(1, Math.ceil((box.maxY - box.minY) / column)));
  const u0 = (box.minX + box.maxX) / 2 - ((nu - 1) / 2) * column;
  const v0 = (box.minY + box.maxY) / 2 - ((nv - 1) / 2) * column;
  const cells = engine.fillCells({ nu, nv, u0, v0, column, rounder: heightRounder(box.minZ, box.maxZ) });
  return { direction: d, u, v, origin, column, nu, nv, u0, v0, cells, lowest: box.minZ, highest: box.maxZ };
}

function otherPattern(): OddsideError {
  return new OddsideError(
    'bad-option',
    'castColumns was handed the scratch of another pattern. Make one with makeScratch for each pattern.',
  );
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
  const [c, s] = [GRID_COSINE, GRID_SINE];
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

/**
 * A number which, added and taken away again, rounds heights to whole steps of a millionth of a millionth of the
 * pattern's size. Sums of whole steps are exact, so the length of metal in a column does not depend on the order in which
 * the triangles come, to the last bit.
 */
function heightRounder(lowest: number, highest: number): number {
  const size = Math.max(Math.abs(lowest), Math.abs(highest));
  return size > 0 ? 1.5 * 2 ** (Math.ceil(Math.log2(size)) + 12) : 0;
}
