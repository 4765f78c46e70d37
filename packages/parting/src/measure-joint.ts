/** What a shaped joint costs: sand to dig and to add, its steepest place, and how far out it is level again. */
import { degrees, type Steps, type Vec3 } from '@oddside/core';
import type { ColumnField } from './column-field.js';
import { pointAt } from './lay-parting-loop.js';
import { floodSteps, type Seeds } from './march-sand.js';
import type { PlacedPlan } from './plan-sand.js';

/** Measures of a joint; see `PartingSurface`. */
export interface JointMeasures {
  readonly copeDownMm3: number;
  readonly buildUpMm3: number;
  readonly volumeErrorMm3: number;
  readonly steepestDeg: number;
  readonly steepestAt: Vec3;
  readonly leastMargin: number;
}

/**
 * Measures, in pieces, a joint given by heights over a plan (from the field's origin, NaN over metal).
 *
 * Error of the volumes: every column on the rim is in by chance, which adds up as the root of squares, and the flooding
 * lays heights off by up to a tenth of a column's rise wherever the joint is not flat.
 */
export function* measureJoint(
  plan: PlacedPlan,
  heights: Float64Array,
  joint: number,
  field: ColumnField,
  outer: Uint8Array,
  slope: number,
): Steps<JointMeasures> {
  const { nx, ny, sand } = plan;
  const { column } = field;
  let down = 0;
  let up = 0;
  let shaped = 0;
  let squares = 0;
  let steepest = -1;
  let at = 0;
  for (let y = 0; y < ny; y++) {
    for (let x = 0; x < nx; x++) {
      const c = y * nx + x;
      if (!sand[c]) continue;
      const off = heights[c] - joint;
      if (off < 0) down -= off;
      else up += off;
      if (off !== 0) shaped++;
      const right = x + 1 < nx ? heights[c + 1] : NaN;
      const above = y + 1 < ny ? heights[c + nx] : NaN;
      const rises = Math.hypot(right - heights[c] || 0, above - heights[c] || 0);
      if (rises > steepest) {
        steepest = rises;
        at = c;
      }
      if (x > 0 && !sand[c - 1]) squares += off * off;
      if (x + 1 < nx && !sand[c + 1]) squares += off * off;
      if (y > 0 && !sand[c - nx]) squares += off * off;
      if (y + 1 < ny && !sand[c + nx]) squares += off * off;
    }
  }
  const area = column * column;
  const x = at % nx;
  const placeU = field.u0 + (x - plan.margin) * column;
  const placeV = field.v0 + ((at - x) / nx - plan.margin) * column;
  return {
    copeDownMm3: down * area,
    buildUpMm3: up * area,
    volumeErrorMm3: area * (2 * Math.sqrt(squares / 12) + 0.1 * slope * column * shaped),
    steepestDeg: degrees(Math.atan(Math.max(0, steepest) / column)),
    steepestAt: pointAt(field, placeU, placeV, Number.isNaN(heights[at]) ? joint : heights[at]),
    leastMargin: (yield* levelFrom(plan, heights, joint, outer)) * column,
  };
}

/** Furthest column from the metal at which the outer joint is not level, columns. */
function* levelFrom(plan: PlacedPlan, heights: Float64Array, joint: number, outer: Uint8Array): Steps<number> {
  const { nx, ny, sand } = plan;
  const columns: number[] = [];
  let shaped = false;
  for (let c = 0; c < sand.length; c++) {
    if (!sand[c]) continue;
    shaped ||= outer[c] === 1 && heights[c] !== joint;
    const x = c % nx;
    const beside = [x > 0 ? c - 1 : -1, x + 1 < nx ? c + 1 : -1, c - nx, c + nx];
    if (beside.some((p) => p >= 0 && p < nx * ny && !sand[p])) columns.push(c);
  }
  if (!shaped) return 0;
  const seeds: Seeds = { columns, heights: columns.map(() => 0.5), sources: columns.map(() => 0) };
  const far = (yield* floodSteps(plan, seeds, 1)).heights;
  let most = 0;
  for (let c = 0; c < sand.length; c++) if (outer[c] && heights[c] !== joint && far[c] > most) most = far[c];
  // The last column that is not level ends half a column further out.
  return most + 0.5;
}
