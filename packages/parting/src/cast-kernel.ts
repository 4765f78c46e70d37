/**
 * The column pass in WebAssembly, and what a search reads off it. The sources are `kernel/cast.ts` and `kernel/tally.ts`; here is its memory: the pattern copied in once, then what
 * a cast writes, last the cells, so that a finer grid only makes the memory longer.
 */
import type { Vec3 } from '@oddside/core';
import type { CastBox, CastEngine, CastGrid } from './cast-engine.js';
import { CAST_KERNEL_BYTES } from './cast-kernel-bytes.js';
import { CELL_STRIDE, type ColumnField } from './column-field.js';
import { chooseHeight } from './find-flat-joint.js';
import { compileKernel, lengthen, MemoryPlan, openKernel } from './open-kernel.js';
import { columnSums } from './sum-cells.js';
import { tallyPlainly, type ColumnTally } from './tally-columns.js';

interface KernelExports {
  project(positions: number, corners: number, placed: number, box: number, ...frame: number[]): void;
  placeOnGrid(placed: number, words: number, corners: number, u0: number, v0: number, perColumn: number): void;
  clear(cells: number, count: number): void;
  fill(
    triangles: number,
    count: number,
    placed: number,
    words: number,
    crossed: number,
    ordered: number,
    block: number,
    spans: number,
    mostSpans: number,
    cells: number,
    nu: number,
    rounder: number,
  ): void;
  pickNear(
    triangles: number,
    first: number,
    count: number,
    words: number,
    picked: number,
    alongU: number,
    alongV: number,
    nu: number,
    nv: number,
  ): number;
  sumCells(cells: number, count: number, sums: number, ends: number): number;
  lowMiddle(ends: number, columns: number, few: number, kept: number): number;
  highMiddle(ends: number, columns: number, low: number): number;
  misfitLength(ends: number, columns: number, height: number): number;
}

const KERNEL: WebAssembly.Module | null = /* @__PURE__ */ compileKernel(CAST_KERNEL_BYTES);

/** Triangles looked through, and rows listed, at a time: short enough for the nearest cache. */
const BLOCK = 512;
const SPANS = 256;
const ORDERED_BYTES = 32;
const SPAN_BYTES = 48;
/** What is written before the cells: the box of the corners, the sums of the cells, a few ends put in order. */
const BOX = 6;
const SUMS = 7;
const FEW = 16;
/** Fields of more columns are tallied in plain TypeScript, which asks for less memory; no search has such. */
const MOST_TALLIED = 2 ** 18;
const CELL_BYTES = 8 * CELL_STRIDE;
const TRIANGLE_BYTES = 12;
/** Room for so many triangles is needed at least to pick those near a rim. */
const LEAST_PICKED = 1024;
const ENDS_BYTES = 16;

/** Where in the memory things stand, bytes. */
interface Places {
  readonly box: number;
  readonly sums: number;
  readonly few: number;
  readonly positions: number;
  readonly placed: number;
  readonly words: number;
  readonly triangles: number;
  readonly crossed: number;
  readonly ordered: number;
  readonly spans: number;
  readonly cells: number;
}

/** Opens the kernel with a pattern; `null` where the platform does not offer what it needs, or not as much memory. */
export function openCastKernel(positions: Float64Array, triangles: Uint32Array): CastEngine | null {
  if (positions.length === 0) return null;
  const corners = positions.length / 3;
  const plan = new MemoryPlan();
  // Corners are taken two at a time: after an odd last one its copy stands.
  const even = 24 * (corners + 1);
  const at: Places = {
    box: plan.room(8 * BOX),
    sums: plan.room(8 * SUMS),
    few: plan.room(8 * FEW),
    positions: plan.room(even),
    placed: plan.room(even),
    words: plan.room(4 * (corners + 1)),
    triangles: plan.room(TRIANGLE_BYTES * (triangles.length / 3)),
    crossed: plan.room(4 * (BLOCK + 1)),
    ordered: plan.room(ORDERED_BYTES * (BLOCK + 1)),
    spans: plan.room(SPAN_BYTES * (SPANS + 1)),
    cells: plan.bytes,
  };
  const opened = openKernel<KernelExports>(KERNEL, plan.bytes);
  if (!opened) return null;
  const { memory, run } = opened;
  new Float64Array(memory.buffer, at.positions).set(positions);
  new Float64Array(memory.buffer, at.positions).set(positions.subarray(-3), 3 * corners);
  new Uint32Array(memory.buffer, at.triangles).set(triangles);
  return new CastKernel(memory, run, at, corners, triangles.length / 3);
}

/** The kernel with one pattern in its memory. */
class CastKernel implements CastEngine {
  readonly #memory: WebAssembly.Memory;
  readonly #run: KernelExports;
  readonly #at: Places;
  readonly #corners: number;
  readonly #triangles: number;
  #filled: Float64Array | null = null;

  constructor(memory: WebAssembly.Memory, run: KernelExports, at: Places, corners: number, triangles: number) {
    this.#memory = memory;
    this.#run = run;
    this.#at = at;
    this.#corners = corners;
    this.#triangles = triangles;
  }

  place(origin: Vec3, u: Vec3, v: Vec3, d: Vec3): CastBox {
    const { positions, placed, box } = this.#at;
    const [ox, oy, oz] = origin;
    const [ux, uy, uz] = u;
    const [vx, vy, vz] = v;
    const [dx, dy, dz] = d;
    this.#run.project(positions, this.#corners, placed, box, ox, oy, oz, ux, uy, uz, vx, vy, vz, dx, dy, dz);
    const [minX, minY, minZ, maxX, maxY, maxZ] = this.#numbers(box, BOX);
    return { minX, maxX, minY, maxY, minZ, maxZ };
  }

  fillCells({ nu, nv, u0, v0, column, rounder }: CastGrid): Float64Array {
    const [run, corners, count] = [this.#run, this.#corners, this.#triangles];
    const { triangles, placed, words, crossed, ordered, spans, cells } = this.#at;
    const columns = nu * nv;
    // Ends stand behind the cells, three times; a number more may be looked at beyond the last.
    const forEnds = columns <= MOST_TALLIED ? 3 * ENDS_BYTES * columns + 8 : 0;
    lengthen(this.#memory, cells + CELL_BYTES * columns + forEnds);
    run.clear(cells, columns);
    run.placeOnGrid(placed, words, corners, u0, v0, 1 / column);
    run.fill(triangles, count, placed, words, crossed, ordered, BLOCK, spans, SPANS, cells, nu, rounder);
    return (this.#filled = this.#numbers(cells, CELL_STRIDE * columns));
  }

  tally(field: ColumnField): ColumnTally {
    const { cells, column, lowest, highest } = field;
    const columns = cells.length / CELL_STRIDE;
    if (cells !== this.#filled || columns > MOST_TALLIED) return tallyPlainly(field);
    const [run, at] = [this.#run, this.#at];
    const ends = at.cells + CELL_BYTES * columns;
    const hit = run.sumCells(at.cells, columns, at.sums, ends);
    if (hit === 0) return tallyPlainly(field);
    const [unbalanced, intervals, envelope, solid, held, overlap, unknown] = this.#numbers(at.sums, SUMS);
    const sums = { hit, unbalanced, intervals, envelope, solid, held, overlap, unknown };
    const low = run.lowMiddle(ends, hit, at.few, ends + ENDS_BYTES * hit);
    const high = run.highMiddle(ends, hit, low);
    const height = chooseHeight(low, high, lowest, highest);
    const misfitMm3 = run.misfitLength(ends, hit, height) * column * column;
    return { sums: columnSums(sums, column), joint: { low, high, height, misfitMm3 } };
  }

  pickNear({ cells, nu, nv }: ColumnField, alongU: Int32Array, alongV: Int32Array): Uint32Array | null {
    const columns = nu * nv;
    const [lengthU, lengthV] = [alongU.length, alongV.length];
    // Tables and what is picked stand where the ends would; the memory must not grow, or the field would be lost.
    const room = 3 * ENDS_BYTES * columns - 4 * (lengthU + lengthV);
    if (cells !== this.#filled || columns > MOST_TALLIED || room < 4 * LEAST_PICKED) return null;
    const { triangles, words, cells: begin } = this.#at;
    const tableU = begin + CELL_BYTES * columns;
    const tableV = tableU + 4 * lengthU;
    const list = tableV + 4 * lengthV;
    const { buffer } = this.#memory;
    new Int32Array(buffer, tableU, lengthU).set(alongU);
    new Int32Array(buffer, tableV, lengthV).set(alongV);
    const most = Math.floor(room / 4) - 1;
    const parts: Uint32Array[] = [];
    for (let first = 0; first < this.#triangles; first += most) {
      const count = Math.min(most, this.#triangles - first);
      const end = this.#run.pickNear(triangles, first, count, words, list, tableU, tableV, nu, nv);
      parts.push(new Uint32Array(buffer, list, (end - list) / 4).slice());
    }
    return joined(parts);
  }

  #numbers(from: number, length: number): Float64Array {
    return new Float64Array(this.#memory.buffer, from, length);
  }
}

/** Lists put one behind another. */
function joined(parts: readonly Uint32Array[]): Uint32Array {
  if (parts.length === 1) return parts[0];
  const all = new Uint32Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}
