/** The boundary of the shadow as closed loops, each point with the corridor in which the joint may meet the pattern. */
import { castColumns, shadowAcross, type CastScratch } from './cast-columns.js';
import type { CastEngine } from './cast-engine.js';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { findRimPoints, type RimPoints } from './gather-rim-spans.js';
import { indexRim, isHit, type RimIndex } from './index-rim.js';
import { pickNearRim } from './pick-near-rim.js';
import type { Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';

/** One closed loop of the boundary. Metal lies on the left, seen against the draw; places and heights from the field's origin, mm. */
export interface BoundaryLoop {
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Heights between which metal stands at the very rim. */
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** The same, allowing the surface to have drawn in by the band. */
  readonly wideLow: Float64Array;
  readonly wideHigh: Float64Array;
  /** Positive round metal, negative round a hole of the shadow, mm². */
  readonly areaMm2: number;
}

/**
 * Traces the boundary of a field's shadow by marching squares on the columns, with every point moved to where the
 * surface truly ends.
 *
 * @param band How far, mm, the surface may have drawn in before it no longer counts as the rim. Up to half a column it is
 *   read off the surface itself, beyond that off the columns, give or take one.
 * @param engine What cast the field; quicker where it still holds it.
 * @returns Loops in the order in which the rows of the grid first meet them. Cost: about two casts.
 */
export function traceShadowBoundary(
  pattern: Pattern,
  field: ColumnField,
  band = 0,
  engine?: CastEngine,
): BoundaryLoop[] {
  const rim = indexRim(field);
  const points = findRimPoints(pickNearRim(pattern, field, rim, engine), field, rim);
  const next = linkPoints(field, rim);
  const seen = new Uint8Array(rim.count);
  const loops: BoundaryLoop[] = [];
  for (let start = 0; start < rim.count; start++) {
    if (seen[start]) continue;
    const order: number[] = [];
    for (let k = start; !seen[k]; k = next[k]) {
      seen[k] = 1;
      order.push(k);
    }
    loops.push(loopOf(order, points, field, band / field.column));
  }
  return loops;
}

/** Casts a pattern again with columns of a width that was used before. */
export function castLike(pattern: Pattern, direction: Vec3, column: number, scratch?: CastScratch): ColumnField {
  // Seen edge on it has no width; then columns are laid by its height.
  const across = shadowAcross(pattern, direction) || 2 * castColumns(pattern, direction, 2, scratch).column;
  return castColumns(pattern, direction, Math.max(2, Math.min(8192, Math.round(across / column))), scratch);
}

/** For each rim point the next one round its loop, metal on the left. Columns that touch only at a corner stay apart. */
function linkPoints(field: ColumnField, rim: RimIndex): Int32Array {
  const { nu, nv } = field;
  const next = new Int32Array(rim.count).fill(-1);
  for (let y = -1; y < nv; y++) {
    for (let x = -1; x < nu; x++) {
      const h00 = isHit(rim.hits, x, y);
      const h10 = isHit(rim.hits, x + 1, y);
      const h11 = isHit(rim.hits, x + 1, y + 1);
      const h01 = isHit(rim.hits, x, y + 1);
      const bits = Number(h00) | (Number(h10) << 1) | (Number(h11) << 2) | (Number(h01) << 3);
      if (bits === 0 || bits === 15) continue;
      const below = y >= 0 ? rim.alongU[y * (nu + 1) + x + 1] : -1;
      const above = y + 1 < nv ? rim.alongU[(y + 1) * (nu + 1) + x + 1] : -1;
      const left = x >= 0 ? rim.alongV[(y + 1) * nu + x] : -1;
      const right = x + 1 < nu ? rim.alongV[(y + 1) * nu + x + 1] : -1;
      if (bits === 5) {
        next[below] = left;
        next[above] = right;
        continue;
      }
      if (bits === 10) {
        next[right] = below;
        next[left] = above;
        continue;
      }
      // One way in (the hit column is on its left hand) and one way out.
      const enter = h00 && !h10 ? below : h10 && !h11 ? right : h11 && !h01 ? above : left;
      const leave = !h00 && h10 ? below : !h10 && h11 ? right : !h11 && h01 ? above : left;
      next[enter] = leave;
    }
  }
  return next;
}

function loopOf(order: readonly number[], points: RimPoints, field: ColumnField, band: number): BoundaryLoop {
  const u = pickFrom(points.u, order, field.u0, field.column);
  const v = pickFrom(points.v, order, field.v0, field.column);
  let area = 0;
  for (let i = 0; i < u.length; i++) {
    const j = (i + 1) % u.length;
    area += (u[i] * v[j] - u[j] * v[i]) / 2;
  }
  const low = pickFrom(points.low, order);
  const high = pickFrom(points.high, order);
  const wide = band > 0 ? widenLoop(order, points, u, v, Math.min(0.5, band)) : { wideLow: low, wideHigh: high };
  if (band > 0.5) widenByColumns(field, u, v, wide.wideLow, wide.wideHigh, band);
  return { u, v, low, high, ...wide, areaMm2: area };
}

/** Those of some numbers that are named, times `rate` and moved on by `start`. */
function pickFrom(values: Float64Array, which: readonly number[], start = 0, rate = 1): Float64Array {
  const picked = new Float64Array(which.length);
  for (let i = 0; i < picked.length; i++) picked[i] = start + values[which[i]] * rate;
  return picked;
}

/** Widens the corridors to all metal in the columns within the band: there a joint at that height has metal beside it. */
function widenByColumns(
  field: ColumnField,
  u: Float64Array,
  v: Float64Array,
  wideLow: Float64Array,
  wideHigh: Float64Array,
  band: number,
): void {
  const { cells, nu, nv, column } = field;
  for (let i = 0; i < u.length; i++) {
    const cu = (u[i] - field.u0) / column;
    const cv = (v[i] - field.v0) / column;
    for (let y = Math.max(0, Math.ceil(cv - band)); y < nv && y <= cv + band; y++) {
      for (let x = Math.max(0, Math.ceil(cu - band)); x < nu && x <= cu + band; x++) {
        if ((x - cu) ** 2 + (y - cv) ** 2 > band * band) continue;
        const cell = (y * nu + x) * CELL_STRIDE;
        wideLow[i] = Math.min(wideLow[i], cells[cell + CELL_BOTTOM]);
        wideHigh[i] = Math.max(wideHigh[i], cells[cell + CELL_TOP]);
      }
    }
  }
}

/** A grid line this far off square to the rim says little about how the wall draws in: cosine of 60°. */
const SQUARE_ENOUGH = 0.5;

/**
 * The corridors with the band allowed. The band is square to the rim and the grid is not, so it is lengthened along the
 * grid by their angle; points that the grid meets at a slant take the narrower of their neighbours' corridors.
 */
function widenLoop(
  order: readonly number[],
  points: RimPoints,
  u: Float64Array,
  v: Float64Array,
  band: number,
): { wideLow: Float64Array; wideHigh: Float64Array } {
  const n = order.length;
  const wideLow = new Float64Array(n).fill(NaN);
  const wideHigh = new Float64Array(n).fill(NaN);
  for (let i = 0; i < n; i++) {
    const [from, to] = [(i + n - 2) % n, (i + 2) % n];
    const [du, dv] = [u[to] - u[from], v[to] - v[from]];
    const size = Math.hypot(du, dv);
    const cosine = size > 0 ? Math.abs(points.metAlongU[order[i]] === 1 ? dv : du) / size : 0;
    if (cosine >= SQUARE_ENOUGH) [wideLow[i], wideHigh[i]] = points.widen(order[i], band / cosine);
  }
  const known = wideLow.map((low, i) => (low <= wideHigh[i] ? 1 : 0));
  for (let i = 0; i < n; i++) {
    const k = order[i];
    if (!known[i]) {
      let [before, after] = [1, 1];
      while (before < n && !known[(i + n - before) % n]) before++;
      while (after < n && !known[(i + after) % n]) after++;
      const [a, b] = [(i + n - before) % n, (i + after) % n];
      wideLow[i] = known[a] && known[b] ? Math.max(wideLow[a], wideLow[b]) : points.low[k];
      wideHigh[i] = known[a] && known[b] ? Math.min(wideHigh[a], wideHigh[b]) : points.high[k];
    }
    wideLow[i] = Math.min(wideLow[i], points.low[k]);
    wideHigh[i] = Math.max(wideHigh[i], points.high[k]);
  }
  return { wideLow, wideHigh };
}
