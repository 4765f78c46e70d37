/**
 * The column pass in WebAssembly. Its source is `kernel/cast.ts`; here is its memory: the pattern copied in once, then what
 * a cast writes, last the cells, so that a finer grid only makes the memory longer.
 */
import type { CastEngine } from './cast-engine.js';
import { CAST_KERNEL_BYTES } from './cast-kernel-bytes.js';
import { CELL_STRIDE } from './column-field.js';

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

/** Triangles looked through, and rows listed, at a time: short enough for the nearest cache. */
const BLOCK = 4096;
const SPANS = 384;
/** Rows that one triangle can add to a full list. */
const MOST_ROWS = 8192;
const SPAN_BYTES = 64;
const PAGE = 65_536;

/** Opens the kernel with a pattern; `null` where the platform does not offer what it needs, or not as much memory. */
export function openCastKernel(positions: Float64Array, triangles: Uint32Array): CastEngine | null {
  if (typeof WebAssembly === 'undefined' || positions.length === 0) return null;
  const corners = positions.length / 3;
  const count = triangles.length / 3;
  let bytes = 0;
  const room = (size: number): number => {
    const from = bytes;
    bytes += Math.ceil(size / 64) * 64;
    return from;
  };
  // Corners are taken two at a time: after an odd last one its copy stands.
  const even = 24 * (corners + 1);
  const at = { box: room(48), positions: room(even), placed: room(even), words: room(4 * corners) };
  const lists = { triangles: room(12 * count), picked: room(4 * (BLOCK + 1)), spans: 0, cells: 0 };
  lists.spans = room(SPAN_BYTES * (SPANS + MOST_ROWS + 1));
  lists.cells = bytes;
  const opened = open(bytes);
  if (!opened) return null;
  const { memory, kernel } = opened;
  new Float64Array(memory.buffer, at.positions).set(positions);
  new Float64Array(memory.buffer, at.positions).set(positions.subarray(-3), 3 * corners);
  new Uint32Array(memory.buffer, lists.triangles).set(triangles);

  return {
    place: (origin, u, v, d) => {
      kernel.project(at.positions, corners, at.placed, at.box, ...origin, ...u, ...v, ...d);
      const [minX, minY, minZ, maxX, maxY, maxZ] = new Float64Array(memory.buffer, at.box, 6);
      return { minX, maxX, minY, maxY, minZ, maxZ };
    },
    fillCells: ({ nu, nv, u0, v0, column, rounder }) => {
      const end = lists.cells + 8 * CELL_STRIDE * nu * nv;
      const missing = end - memory.buffer.byteLength;
      if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
      kernel.clear(lists.cells, nu * nv);
      kernel.placeOnGrid(at.placed, at.words, corners, u0, v0, 1 / column);
      const { picked, spans, cells } = lists;
      kernel.fill(lists.triangles, count, at.placed, at.words, picked, BLOCK, spans, SPANS, cells, nu, rounder);
      return new Float64Array(memory.buffer, cells, CELL_STRIDE * nu * nv);
    },
  };
}

function open(bytes: number): { memory: WebAssembly.Memory; kernel: KernelExports } | null {
  try {
    const code = Uint8Array.from(atob(CAST_KERNEL_BYTES), (letter) => letter.charCodeAt(0));
    const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / PAGE) });
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(code), { env: { memory } });
    return { memory, kernel: exports as unknown as KernelExports };
  } catch {
    // No pairs of numbers, a page that forbids compiling, no memory: the plain pass gives the same.
    return null;
  }
}
