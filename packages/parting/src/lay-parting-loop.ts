/** Lays the parting line round one loop of the shadow: taut in its corridor, measured, and with the marks to make. */
import type { Vec3 } from '@oddside/core';
import { dot } from '@oddside/core';
import type { ColumnField } from './column-field.js';
import { measurePillar } from './measure-pillar.js';
import type { PartingLoop, Station } from './parting-line.js';
import { pullTautLoop } from './pull-taut-string.js';
import type { BoundaryLoop } from './trace-shadow-boundary.js';

/** How to lay it; heights from the field's origin. */
export interface LoopLaying {
  /** Height to lie at where the corridor leaves it free to lie flat. */
  readonly wanted: number;
  /** The flat joint that stations are measured from. */
  readonly joint: number;
  /** Width of the band that widened the corridor, mm. */
  readonly band: number;
  /** Distance between stations, mm; `undefined` for 24 to the loop. */
  readonly spacing: number | undefined;
}

/** Marks to a loop where no spacing is asked for. */
const MARKS = 24;

/** Lays the line. Cost: a few passes over the loop's points. */
export function layPartingLoop(field: ColumnField, loop: BoundaryLoop, laying: LoopLaying): PartingLoop {
  const n = loop.u.length;
  const along = new Float64Array(n);
  for (let i = 1; i < n; i++) along[i] = along[i - 1] + stepAt(loop, i - 1);
  const planLength = along[n - 1] + stepAt(loop, n - 1);
  const heights = pullTautLoop(along, planLength, loop.wideLow, loop.wideHigh, laying.wanted);
  const base = dot(field.origin, field.direction);
  const points = new Float64Array(3 * n);
  let lowest = 0;
  let highest = 0;
  let climb = 0;
  let length = 0;
  let price = 0;
  for (let i = 0; i < n; i++) {
    points.set(pointAt(field, loop.u[i], loop.v[i], heights[i]), 3 * i);
    if (heights[i] < heights[lowest]) lowest = i;
    if (heights[i] > heights[highest]) highest = i;
    const step = stepAt(loop, i);
    const up = heights[(i + 1) % n] - heights[i];
    climb += Math.max(0, up);
    length += Math.hypot(step, up);
    price += ((step + stepAt(loop, (i + n - 1) % n)) / 2) * givenUp(loop, i, heights[i], laying.band);
  }
  const steepest = steepestOf(field, loop, along, planLength, heights);
  const outer = loop.areaMm2 > 0;
  const stationAt = (at: number): Station => {
    const { point, height } = placeAlong(field, loop, along, planLength, heights, at);
    return { point, along: at, aboveBoard: height - field.lowest, fromJoint: height - laying.joint };
  };
  const spacing = laying.spacing ?? planLength / MARKS;
  const marks = Math.max(3, Math.min(10_000, Math.round(planLength / spacing)));
  const places = Array.from({ length: marks }, (_, k) => (k * planLength) / marks);
  const extremes = heights[highest] > heights[lowest] ? [along[lowest], along[highest]] : [];
  const toFile = (list: Float64Array): Float64Array => list.map((h) => h + base);
  return {
    outer,
    points,
    heights: toFile(heights),
    corridorLow: toFile(loop.wideLow),
    corridorHigh: toFile(loop.wideHigh),
    length,
    planLength,
    areaMm2: Math.abs(loop.areaMm2),
    lowest: heights[lowest] + base,
    highest: heights[highest] + base,
    climb,
    ...steepest,
    stations: [...new Set([...places, ...extremes])].sort((a, b) => a - b).map(stationAt),
    pillar: outer ? null : measurePillar(field, loop),
    priceMm3: price,
  };
}

/** Distance in plan from a point to the next. */
function stepAt(loop: BoundaryLoop, i: number): number {
  const j = (i + 1) % loop.u.length;
  return Math.hypot(loop.u[j] - loop.u[i], loop.v[j] - loop.v[i]);
}

/** A place in the grid's frame as a point of the pattern. */
export function pointAt(field: ColumnField, pu: number, pv: number, height: number): Vec3 {
  const { origin: o, u, v, direction: d } = field;
  return [
    o[0] + pu * u[0] + pv * v[0] + height * d[0],
    o[1] + pu * u[1] + pv * v[1] + height * d[1],
    o[2] + pu * u[2] + pv * v[2] + height * d[2],
  ];
}

/**
 * Section of the undercut made by parting at a height off the rim: the wall draws in by the band over the widened part of
 * the corridor, nearly straight, so half its rise times its drawing in, as a square of the distance from the rim.
 */
function givenUp(loop: BoundaryLoop, i: number, height: number, band: number): number {
  const over = height - loop.high[i];
  if (over > 0) return (over * over * band) / (2 * Math.max(loop.wideHigh[i] - loop.high[i], over));
  const under = loop.low[i] - height;
  if (under > 0) return (under * under * band) / (2 * Math.max(loop.low[i] - loop.wideLow[i], under));
  return 0;
}

/** Slope over at least a column: between two crossings of the grid that all but coincide it means nothing. */
function steepestOf(
  field: ColumnField,
  loop: BoundaryLoop,
  along: Float64Array,
  total: number,
  heights: Float64Array,
): { steepestDeg: number; steepestAt: Vec3 } {
  const n = along.length;
  let most = -1;
  let where = 0;
  for (let i = 0, j = 0; i < n; i++) {
    const run = (k: number): number => along[k % n] + (k >= n ? total : 0) - along[i];
    j = Math.max(j, i + 1);
    while (j < i + n - 1 && run(j) < field.column) j++;
    const slope = Math.abs(heights[j % n] - heights[i]) / Math.max(run(j), field.column);
    if (slope > most) {
      most = slope;
      where = i;
    }
  }
  const steepestAt = pointAt(field, loop.u[where], loop.v[where], heights[where]);
  return { steepestDeg: (Math.atan(Math.max(0, most)) * 180) / Math.PI, steepestAt };
}

/** The point at a distance along the loop. */
function placeAlong(
  field: ColumnField,
  loop: BoundaryLoop,
  along: Float64Array,
  total: number,
  heights: Float64Array,
  at: number,
): { point: Vec3; height: number } {
  const n = along.length;
  let low = 0;
  let high = n - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (along[middle] <= at) low = middle;
    else high = middle - 1;
  }
  const next = (low + 1) % n;
  const step = (next === 0 ? total : along[next]) - along[low];
  const part = step > 0 ? (at - along[low]) / step : 0;
  const mix = (list: Float64Array): number => list[low] + part * (list[next] - list[low]);
  const height = mix(heights);
  return { point: pointAt(field, mix(loop.u), mix(loop.v), height), height };
}
