/**
 * Where the shadow ends between two columns, and between which heights the metal stands there.
 *
 * The columns say only that one is hit and its neighbour is not. Here the triangles are cut along the rows (and then the
 * files) of the grid once more, and only what lies between such a pair is kept: the stretches of surface that chain
 * together from the hit column outwards. Where the chain ends is the edge of the shadow, exactly; the heights of the
 * stretches that reach it are the corridor in which the joint may meet the pattern.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { longer } from './grow-array.js';
import { isHit, type RimIndex } from './index-rim.js';
import { PLACED_TRIANGLE } from './pick-near-rim.js';

/** A corner counts as on the rim within this many columns: walls upright but for their file's rounding. */
const TIGHT = 1e-3;

/** The rim points of a shadow: places in columns, heights from the field's origin. */
export interface RimPoints {
  /** In-plane places, columns along u and v from column (0, 0). */
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Heights between which the metal stands at the very rim. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** 1 where the rim was met along u, 0 along v. */
  readonly metAlongU: Uint8Array;
  /** Lowest and highest metal from the rim of point `k` inwards by so many columns along the grid; NaN where not known. */
  widen(k: number, columns: number): readonly [number, number];
}

/** Stretches of surface found near each rim point: chained through `next`, {@link STRETCH} numbers each. */
interface Spans {
  readonly head: Int32Array;
  readonly next: Int32Array;
  readonly values: Float64Array;
}

/** Numbers of a stretch: where it begins and its height there, where it ends and its height there. */
const STRETCH = 4;

/**
 * Finds the rim points.
 *
 * @param placed Triangles on the grid, see `pickNearRim`; the others cannot change what is found.
 */
export function findRimPoints(placed: Float64Array, field: ColumnField, rim: RimIndex): RimPoints {
  const { nu, nv } = field;
  const make = (): Float64Array => new Float64Array(rim.count);
  const [u, v, low, high, reaches] = [make(), make(), make(), make(), make()];
  const metAlongU = new Uint8Array(rim.count);
  const rows = gatherSpans(
    placed,
    { across: 0, cells: nu, lines: nv, index: rim.alongU, first: 1, byLine: nu + 1, byCell: 1 },
    rim.count,
  );
  const files = gatherSpans(
    placed,
    { across: 1, cells: nv, lines: nu, index: rim.alongV, first: nu, byLine: 1, byCell: nu },
    rim.count,
  );
  const chains = new Chains(rim.count, rows.next.length + files.next.length);
  const ends: RimEnds = { chains, low, high, reaches, cells: field.cells };
  for (let y = 0; y < nv; y++) {
    for (let x = -1; x < nu; x++) {
      const k = rim.alongU[y * (nu + 1) + x + 1];
      if (k < 0) continue;
      const hitFirst = isHit(rim.hits, x, y);
      metAlongU[k] = 1;
      v[k] = y;
      u[k] = settle(ends, rows, k, x, hitFirst, y * nu + (hitFirst ? x : x + 1));
    }
  }
  for (let y = -1; y < nv; y++) {
    for (let x = 0; x < nu; x++) {
      const k = rim.alongV[(y + 1) * nu + x];
      if (k < 0) continue;
      const hitFirst = isHit(rim.hits, x, y);
      u[k] = x;
      v[k] = settle(ends, files, k, y, hitFirst, (hitFirst ? y : y + 1) * nu + x);
    }
  }
  const widen = (k: number, columns: number): readonly [number, number] =>
    chains.heightsBeyond(k, reaches[k] - Math.max(TIGHT, columns)) ?? [NaN, NaN];
  return { u, v, low, high, metAlongU, widen };
}

/** Where the surface ends at each rim point, as far as it is settled. */
interface RimEnds {
  readonly chains: Chains;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly reaches: Float64Array;
  readonly cells: Float64Array;
}

/** Settles one rim point and returns its place along the grid, columns. */
function settle(
  { chains, low, high, reaches, cells }: RimEnds,
  spans: Spans,
  k: number,
  cell: number,
  hitFirst: boolean,
  hitColumn: number,
): number {
  const reach = chains.add(spans, k, cell, hitFirst);
  const i = hitColumn * CELL_STRIDE;
  // Where the two passes round differently at the rim's last hair, the hit column's own ends will do.
  const heights = chains.heightsBeyond(k, reach - TIGHT);
  low[k] = heights ? heights[0] : cells[i + CELL_BOTTOM];
  high[k] = heights ? heights[1] : cells[i + CELL_TOP];
  reaches[k] = reach;
  const place = Math.min(reach, 1 - 1e-9);
  return hitFirst ? cell + place : cell + 1 - place;
}

/** Lines to cut along, and the numbered edges on them: the one past cell `c` of line `l` is at `first + l × byLine + c × byCell`. */
interface CutLines {
  /** 0 for rows, cut across u; 1 for files. */
  readonly across: 0 | 1;
  readonly cells: number;
  readonly lines: number;
  readonly index: Int32Array;
  readonly first: number;
  readonly byLine: number;
  readonly byCell: number;
}

/** Cuts every triangle along whole values of one coordinate; keeps what begins or ends in an edge that is numbered. */
function gatherSpans(placed: Float64Array, cut: CutLines, count: number): Spans {
  const { across, cells, lines, index, byCell } = cut;
  const along = 1 - across;
  const before = countEdges(cut);
  const width = cells + 2;
  const head = new Int32Array(count).fill(-1);
  let next = new Int32Array(8 * count);
  let values = new Float64Array(STRETCH * next.length);
  let found = 0;
  for (let t = 0; t < placed.length; t += PLACED_TRIANGLE) {
    let low = t;
    let middle = t + 3;
    let high = t + 6;
    const xa = placed[low + across];
    const xb = placed[middle + across];
    const xc = placed[high + across];
    const from = Math.max(0, Math.floor(Math.min(xa, xb, xc)));
    const to = Math.min(cells + 1, Math.floor(Math.max(xa, xb, xc)) + 3);
    // The corners in their order along the lines.
    if (placed[middle + along] < placed[low + along]) [low, middle] = [middle, low];
    if (placed[high + along] < placed[middle + along]) [middle, high] = [high, middle];
    if (placed[middle + along] < placed[low + along]) [low, middle] = [middle, low];
    const yLow = placed[low + along];
    const yMiddle = placed[middle + along];
    const yHigh = placed[high + along];
    const last = Math.min(lines - 1, Math.ceil(yHigh) - 1);
    for (let line = Math.max(0, Math.ceil(yLow)); line <= last; line++) {
      // Most triangles are nowhere near the rim: the edges they could touch, one more on either side, settle it.
      if (before[line * width + to] === before[line * width + from]) continue;
      // An edge is worked out from its lower end in both its triangles, so that they agree.
      const long = (line - yLow) / (yHigh - yLow);
      const x0 = placed[low + across] + long * (placed[high + across] - placed[low + across]);
      const below = line < yMiddle;
      const start = below ? low : middle;
      const end = below ? middle : high;
      const short = (line - placed[start + along]) / (placed[end + along] - placed[start + along]);
      const x1 = placed[start + across] + short * (placed[end + across] - placed[start + across]);
      const base = cut.first + line * cut.byLine;
      const first = Math.floor(Math.min(x0, x1));
      const final = Math.floor(Math.max(x0, x1));
      // What ends one edge further in is kept too, because a band can reach past the hit column's axis.
      for (let cell = Math.max(-1, first - 1); cell <= final + 1 && cell < cells; cell++) {
        if (cell > first && cell < final) {
          cell = final - 1;
          continue;
        }
        const k = index[base + cell * byCell];
        if (k < 0) continue;
        if (found === next.length) [next, values] = [longer(next), longer(values)];
        next[found] = head[k];
        head[k] = found;
        const z0 = placed[low + 2] + long * (placed[high + 2] - placed[low + 2]);
        const z1 = placed[start + 2] + short * (placed[end + 2] - placed[start + 2]);
        const at = STRETCH * found++;
        const swapped = x0 >= x1;
        values[at] = swapped ? x1 : x0;
        values[at + 1] = swapped ? z1 : z0;
        values[at + 2] = swapped ? x0 : x1;
        values[at + 3] = swapped ? z0 : z1;
      }
    }
  }
  return { head, next: next.subarray(0, found), values };
}

/**
 * How many numbered edges come before each cell of each line: before cell `c` of line `l`, from −1 on, at
 * `l × (cells + 2) + c + 1`.
 */
function countEdges({ cells, lines, index, first, byLine, byCell }: CutLines): Int32Array {
  const width = cells + 2;
  const before = new Int32Array(width * lines);
  for (let line = 0; line < lines; line++) {
    for (let cell = -1; cell < cells; cell++) {
      const at = line * width + cell + 1;
      before[at + 1] = before[at] + (index[first + line * byLine + cell * byCell] >= 0 ? 1 : 0);
    }
  }
  return before;
}

/** The stretches of each rim point that hang together outwards from the hit column, places counted from it outwards, columns. */
class Chains {
  readonly #first: Int32Array;
  readonly #end: Int32Array;
  readonly #values: Float64Array;
  #count = 0;

  constructor(points: number, stretches: number) {
    this.#first = new Int32Array(points);
    this.#end = new Int32Array(points);
    this.#values = new Float64Array(STRETCH * stretches);
  }

  /** Chains the stretches of point `k`; returns how far the chain reaches. */
  add({ head, next, values: from }: Spans, k: number, cell: number, hitFirst: boolean): number {
    const to = this.#values;
    const first = this.#count;
    let end = first;
    for (let i = head[k]; i >= 0; i = next[i]) {
      const l = from[STRETCH * i];
      const zl = from[STRETCH * i + 1];
      const r = from[STRETCH * i + 2];
      const zr = from[STRETCH * i + 3];
      // Put in the order of where they begin, among equals in that of their finding.
      const begin = hitFirst ? l - cell : cell + 1 - r;
      let at = STRETCH * end++;
      for (; at > STRETCH * first && to[at - STRETCH] > begin; at -= STRETCH) {
        for (let n = 0; n < STRETCH; n++) to[at + n] = to[at + n - STRETCH];
      }
      to[at] = begin;
      to[at + 1] = hitFirst ? zl : zr;
      to[at + 2] = hitFirst ? r - cell : cell + 1 - l;
      to[at + 3] = hitFirst ? zr : zl;
    }
    let reach = 0;
    let last = first;
    for (; last < end && to[STRETCH * last] <= reach + 1e-6; last++) reach = Math.max(reach, to[STRETCH * last + 2]);
    this.#first[k] = first;
    this.#end[k] = this.#count = last;
    return reach;
  }

  /** Lowest and highest surface of point `k` from a place outwards. */
  heightsBeyond(k: number, from: number): [number, number] | undefined {
    const values = this.#values;
    let low = Infinity;
    let high = -Infinity;
    for (let at = STRETCH * this.#first[k]; at < STRETCH * this.#end[k]; at += STRETCH) {
      const a = values[at];
      const za = values[at + 1];
      const b = values[at + 2];
      const zb = values[at + 3];
      if (b < from) continue;
      const start = a >= from || b <= a ? za : za + ((from - a) / (b - a)) * (zb - za);
      low = Math.min(low, start, zb);
      high = Math.max(high, start, zb);
    }
    return high >= low ? [low, high] : undefined;
  }
}
