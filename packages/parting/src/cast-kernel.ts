/**
 * The column pass in WebAssembly. Its source is `kernel/cast.ts`; here is its memory: the pattern copied in once, then what
 * a cast writes, last the cells, so that a finer grid only makes the memory longer.
 */
import type { CastEngine } from './cast-engine.js';
import { CAST_KERNEL_BYTES } from './cast-kernel-bytes.js';
import { CELL_STRIDE } from './column-field.js';
import { compileKernel, lengthen, MemoryPlan, openKernel } from './open-kernel.js';

interface KernelExports {
  project(positions: number, corners: number, placed: number, box: number, ...frame: number[]): void;
  placeOnGrid(placed: number, words: number, corners: number, u0: number, v0: number, perColumn: number): void;
  clear(cells: number, count: number): void;
  fill(
    triangles: number,
    count: number,
    placed: number,
    words: number,
    picked: number,
    block: number,
    spans: number,
    mostSpans: number,
    cells: number,
    nu: number,
    rounder: number,
  ): void;
}

const KERNEL: WebAssembly.Module | null = /* @__PURE__ */ compileKernel(CAST_KERNEL_BYTES);

/** Triangles looked through, and rows listed, at a time: short enough for the nearest cache. */
const BLOCK = 4096;
const SPANS = 384;
/** Rows that one triangle can add to a full list. */
const MOST_ROWS = 8192;
const SPAN_BYTES = 64;

/** Opens the kernel with a pattern; `null` where the platform does not offer what it needs, or not as much memory. */
export function openCastKernel(positions: Float64Array, triangles: Uint32Array): CastEngine | null {
  if (positions.length === 0) return null;
  const corners = positions.length / 3;
  const count = triangles.length / 3;
  const plan = new MemoryPlan();
  // Corners are taken two at a time: after an odd last one its copy stands.
  const even = 24 * (corners + 1);
  const at = {
    box: plan.room(48),
    positions: plan.room(even),
    placed: plan.room(even),
    words: plan.room(4 * corners),
    triangles: plan.room(12 * count),
    picked: plan.room(4 * (BLOCK + 1)),
    spans: plan.room(SPAN_BYTES * (SPANS + MOST_ROWS + 1)),
    cells: plan.bytes,
  };
  const opened = openKernel<KernelExports>(KERNEL, plan.bytes);
  if (!opened) return null;
  const { memory, run } = opened;
  new Float64Array(memory.buffer, at.positions).set(positions);
  new Float64Array(memory.buffer, at.positions).set(positions.subarray(-3), 3 * corners);
  new Uint32Array(memory.buffer, at.triangles).set(triangles);

  return {
    place: (origin, u, v, d) => {
      run.project(at.positions, corners, at.placed, at.box, ...origin, ...u, ...v, ...d);
      const [minX, minY, minZ, maxX, maxY, maxZ] = new Float64Array(memory.buffer, at.box, 6);
      return { minX, maxX, minY, maxY, minZ, maxZ };
    },
    fillCells: ({ nu, nv, u0, v0, column, rounder }) => {
      const { placed, words, picked, spans, cells } = at;
      lengthen(memory, cells + 8 * CELL_STRIDE * nu * nv);
      run.clear(cells, nu * nv);
      run.placeOnGrid(placed, words, corners, u0, v0, 1 / column);
      run.fill(at.triangles, count, placed, words, picked, BLOCK, spans, SPANS, cells, nu, rounder);
      return new Float64Array(memory.buffer, cells, CELL_STRIDE * nu * nv);
    },
  };
}
