/**
 * Heights that spread from the pattern's rim over the sand at a given slope, round corners but never through metal: the
 * upper and lower bounds of every joint surface no steeper than that slope. Distance has to be measured in the sand; a
 * straight line through the casting would forbid joints that are perfectly good (geometry of two-part moulds, extension to
 * the flask).
 *
 * The sand is flooded from the rim outwards in order of height, each column settled once from the neighbours it is reached
 * through (fast marching, second order where it can be). Paths come out too long by about a column at each corner they turn.
 */
import { drainSteps, type Steps } from '@oddside/core';
import { ColumnHeap } from './column-heap.js';

/** The plan of the flask in columns: row by row, 1 for sand and 0 for metal. */
export interface SandPlan {
  readonly nx: number;
  readonly ny: number;
  readonly sand: Uint8Array;
}

/** Where heights start: column, height there, and the number of the rim point it comes from. */
export interface Seeds {
  readonly columns: readonly number[];
  readonly heights: readonly number[];
  readonly sources: readonly number[];
}

/** A flooded plan. */
export interface Flood {
  /** Least height at each column; ∞ where no seed reaches. */
  readonly heights: Float64Array;
  /** Rim point it comes from, −1 for none. */
  readonly sources: Int32Array;
}

/**
 * Floods the sand upwards from seeds: each column gets the least of seed height + rise × distance.
 *
 * @param rise Height gained over one column's width, above 0.
 * @returns Heights and their sources. Cost: about 0.2 µs a column.
 */
export function floodSand(plan: SandPlan, seeds: Seeds, rise: number): Flood {
  return drainSteps(floodSteps(plan, seeds, rise));
}

/** Columns settled between two yields: a few ms of work. */
const AT_A_TIME = 16_384;

/** The same in pieces. */
export function* floodSteps(plan: SandPlan, seeds: Seeds, rise: number): Steps<Flood> {
  const size = plan.nx * plan.ny;
  const heights = new Float64Array(size).fill(Infinity);
  const sources = new Int32Array(size).fill(-1);
  const settled = new Uint8Array(size);
  const heap = new ColumnHeap(heights);
  seeds.columns.forEach((c, i) => {
    if (!plan.sand[c] || seeds.heights[i] >= heights[c]) return;
    heights[c] = seeds.heights[i];
    sources[c] = seeds.sources[i];
    heap.raise(c);
  });
  for (let done = 0; settleSome(plan, { heights, sources }, settled, heap, rise); done += AT_A_TIME) {
    yield Math.min(1, done / size);
  }
  return { heights, sources };
}

/** Settles the next so many columns; false when none are left. */
function settleSome(
  { nx, ny, sand }: SandPlan,
  { heights, sources }: Flood,
  settled: Uint8Array,
  heap: ColumnHeap,
  rise: number,
): boolean {
  for (let n = 0; n < AT_A_TIME; n++) {
    const c = heap.pop();
    if (c < 0) return false;
    settled[c] = 1;
    const x = c % nx;
    const y = (c - x) / nx;
    for (let side = 0; side < 4; side++) {
      const px = x + (side === 0 ? 1 : side === 1 ? -1 : 0);
      const py = y + (side === 2 ? 1 : side === 3 ? -1 : 0);
      if (px < 0 || py < 0 || px >= nx || py >= ny) continue;
      const p = py * nx + px;
      if (!sand[p] || settled[p]) continue;
      const height = arrive(heights, settled, p, px, nx, py, ny, rise);
      if (height >= heights[p]) continue;
      heights[p] = height;
      sources[p] = sources[c];
      heap.raise(p);
    }
  }
  return true;
}

/**
 * Height on arrival at a column: from its settled neighbours along both axes where the slopes allow it, else from the
 * better one. Each way in is second order where the neighbour behind the neighbour is settled and lower: the height changes
 * from `from` with a weight of 9/4 instead of from the neighbour with a weight of 1.
 */
function arrive(
  heights: Float64Array,
  settled: Uint8Array,
  p: number,
  px: number,
  nx: number,
  py: number,
  ny: number,
  rise: number,
): number {
  let best = Infinity;
  let nearX = 0;
  let fromX = 0;
  let weightX = 0;
  for (let axis = 0; axis < 2; axis++) {
    const stride = axis === 0 ? 1 : nx;
    const place = axis === 0 ? px : py;
    const end = axis === 0 ? nx : ny;
    const before = place > 0 && settled[p - stride] ? heights[p - stride] : Infinity;
    const after = place + 1 < end && settled[p + stride] ? heights[p + stride] : Infinity;
    const near = Math.min(before, after);
    if (near === Infinity) continue;
    const step = before <= after ? -stride : stride;
    const inside = step < 0 ? place > 1 : place + 2 < end;
    const far = inside && settled[p + 2 * step] ? heights[p + 2 * step] : Infinity;
    const from = far <= near ? (4 * near - far) / 3 : near;
    const weight = far <= near ? 2.25 : 1;
    best = Math.min(best, Math.max(near, from + rise / Math.sqrt(weight)));
    if (weightX > 0) {
      const sum = weightX + weight;
      const gap = fromX - from;
      const left = rise * rise - (weightX * weight * gap * gap) / sum;
      const height = (weightX * fromX + weight * from) / sum + Math.sqrt(Math.max(0, left) / sum);
      if (left >= 0 && height >= nearX && height >= near) return height;
    }
    nearX = near;
    fromX = from;
    weightX = weight;
  }
  return best;
}
