/** The pair of places that no joint within the slope can both meet. */
import { degrees } from '@oddside/core';
import type { ColumnField } from './column-field.js';
import { pointAt } from './lay-parting-loop.js';
import type { Flood } from './march-sand.js';
import type { JointConflict } from './parting-surface.js';
import type { PlacedPlan, RimPoint } from './plan-sand.js';

/**
 * Looks for the worst conflict: the column where the least surface that clears the rim from above lies furthest over the
 * highest that clears it from below. The rim points the two come from are the pair.
 *
 * @returns The conflict, or `null` where a surface exists.
 */
export function findConflict(
  plan: PlacedPlan,
  points: readonly RimPoint[],
  bounds: { readonly upper: Flood; readonly lower: Flood },
  slope: number,
  field: ColumnField,
): JointConflict | null {
  let worst = 1e-6 * (field.highest - field.lowest);
  let at = -1;
  for (let c = 0; c < plan.sand.length; c++) {
    if (!plan.sand[c]) continue;
    const over = -bounds.lower.heights[c] - bounds.upper.heights[c];
    if (over > worst) {
      worst = over;
      at = c;
    }
  }
  if (at < 0) return null;
  const from = points[bounds.lower.sources[at]];
  const to = points[bounds.upper.sources[at]];
  const place = (point: RimPoint, height: number): ReturnType<typeof pointAt> =>
    pointAt(
      field,
      field.u0 + (point.x - plan.margin) * field.column,
      field.v0 + (point.y - plan.margin) * field.column,
      height,
    );
  const climb = Math.max(from.low - to.high, worst);
  // What the climb exceeds the slope by says how far apart in the sand they are; nearer than half a column is not seen.
  const distance = Math.max((climb - worst) / slope, field.column / 2);
  return {
    high: place(from, from.low),
    low: place(to, to.high),
    climb,
    distance,
    neededDeg: degrees(Math.atan(climb / distance)),
  };
}
