/** The least-dug joint worked out in pieces: see `shapePartingSurface`. */
import { checkNumber, degrees, dot, partOfSteps, radians, type Steps, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { CastScratch } from './cast-columns.js';
import type { ColumnField } from './column-field.js';
import { findConflict } from './find-joint-conflict.js';
import { findingsOfSurface } from './judge-parting-surface.js';
import { pointAt } from './lay-parting-loop.js';
import { floodSteps, type Flood } from './march-sand.js';
import { measureJoint } from './measure-joint.js';
import type { JointConflict, JointContour, PartingSurface } from './parting-surface.js';
import { listRim, outerSand, planSand, seedFromRim, type PlacedPlan, type RimPoint } from './plan-sand.js';
import { traceContour } from './trace-contours.js';
import { castLike, traceShadowBoundary } from './trace-shadow-boundary.js';

/** The options of `shapePartingSurface`, checked. */
export interface JointTask {
  readonly slopeLimitDeg: number;
  readonly jointHeight: number;
  readonly column: number;
  readonly band: number;
  readonly margin: number | undefined;
  readonly contourStep: number | undefined;
}

/** Columns of the plan at most; wider columns are taken rather than more. */
const MOST_COLUMNS = 500_000;
/** … but not wider than this many across the pattern. */
const LEAST_ACROSS = 12;

/** A joint laid within the slope asked for, or the conflict that forbids it; the rest is worked out when it is wanted. */
export interface LaidJoint {
  readonly conflict: JointConflict | null;
  /** Measures, contours and, where there is a conflict and unless it is not wanted, the least slope: most of the cost then. */
  readonly finish: (wantsLeastSlope?: boolean) => Steps<PartingSurface>;
}

/** Shapes the joint. */
export function* jointSteps(pattern: Pattern, direction: Vec3, task: JointTask): Steps<PartingSurface> {
  const { finish } = yield* partOfSteps(layJoint(pattern, direction, task), 0, 0.5);
  return yield* partOfSteps(finish(), 0.5, 1);
}

/**
 * Lays the joint and looks for conflicts.
 *
 * @param scratch From `makeScratch` with the same pattern; nothing else may cast with it until the joint is finished.
 */
export function* layJoint(pattern: Pattern, direction: Vec3, task: JointTask, scratch?: CastScratch): Steps<LaidJoint> {
  const { jointHeight } = task;
  const slope = Math.tan(radians(task.slopeLimitDeg));
  const { field, plan, rim } = yield* partOfSteps(layOut(pattern, direction, task, slope, scratch), 0, 0.5);
  const joint = jointHeight - dot(field.origin, field.direction);
  const bounds = yield* partOfSteps(boundsAt(plan, rim, slope * field.column), 0.5, 1);
  const conflict = findConflict(plan, rim.points, bounds, slope, field);
  const heights = new Float64Array(plan.nx * plan.ny).fill(NaN);
  for (let c = 0; c < heights.length; c++) {
    if (!plan.sand[c]) continue;
    const [low, high] = [-bounds.lower.heights[c], bounds.upper.heights[c]];
    heights[c] = low <= high ? Math.min(high, Math.max(low, joint)) : (low + high) / 2;
  }
  const base = jointHeight - joint;
  const finish = function* (wantsLeastSlope = true): Steps<PartingSurface> {
    const measured = yield* partOfSteps(measureJoint(plan, heights, joint, field, outerSand(plan), slope), 0, 0.3);
    const needed = conflict && wantsLeastSlope ? Math.tan(radians(conflict.neededDeg)) : null;
    const surface = {
      direction: field.direction,
      slopeLimitDeg: task.slopeLimitDeg,
      jointHeight,
      feasible: conflict === null,
      conflict,
      leastSlopeDeg: needed === null ? null : yield* partOfSteps(leastSlopeSteps(plan, rim, field, needed), 0.3, 0.8),
      column: field.column,
      nu: plan.nx,
      nv: plan.ny,
      u0: field.u0 - plan.margin * field.column,
      v0: field.v0 - plan.margin * field.column,
      origin: field.origin,
      u: field.u,
      v: field.v,
      heights: heights.map((h) => h + base),
      ...measured,
      contours: yield* contoursOf(plan, heights, field, base, task.contourStep),
    };
    const findings = findingsOfSurface(surface, task.margin);
    return { ...surface, reliable: findings.every((finding) => finding.severity === 'note'), findings };
  };
  return { conflict, finish };
}

interface Rim {
  readonly points: readonly RimPoint[];
  readonly next: readonly number[];
}

/** Casts, traces the rim and lays a plan round it wide enough for the joint to come back to the flat one. */
function* layOut(
  pattern: Pattern,
  direction: Vec3,
  { column: asked, jointHeight, band: bandAsked }: JointTask,
  slope: number,
  scratch: CastScratch | undefined,
): Steps<{ field: ColumnField; plan: PlacedPlan; rim: Rim }> {
  let field = castLike(pattern, direction, asked, scratch);
  const base = dot(field.origin, field.direction);
  const height = field.highest - field.lowest;
  // Further off than its own height, a joint has nothing to do with the pattern and its plan would have no bounds.
  checkNumber('jointHeight (mm)', jointHeight, {
    min: field.lowest + base - height - field.column,
    max: field.highest + base + height + field.column,
  });
  // The wider the columns the fewer the plan needs; below a few across the pattern there is nothing left to see.
  for (;;) {
    const band = Math.min(bandAsked, (Math.max(field.nu, field.nv) * field.column) / 20);
    yield 0.1;
    const loops = traceShadowBoundary(pattern, field, band, scratch?.engine);
    yield 0.2;
    let reach = 0;
    for (const loop of loops) {
      for (let i = 0; i < loop.u.length; i++) {
        reach = Math.max(reach, loop.wideLow[i] - (jointHeight - base), jointHeight - base - loop.wideHigh[i]);
      }
    }
    const margin = Math.ceil(reach / slope / field.column) + 4;
    const size = (field.nu + 2 * margin) * (field.nv + 2 * margin);
    if (size <= MOST_COLUMNS || Math.max(field.nu, field.nv) <= LEAST_ACROSS) {
      const plan = planSand(field, margin);
      return { field, plan, rim: listRim(field, plan, loops) };
    }
    field = castLike(pattern, direction, field.column * Math.max(1.2, Math.sqrt(size / MOST_COLUMNS)), scratch);
  }
}

function* boundsAt(plan: PlacedPlan, rim: Rim, rise: number): Steps<{ readonly upper: Flood; readonly lower: Flood }> {
  const upwards = seedFromRim(plan, rim, (point) => point.high, rise);
  const upper = yield* partOfSteps(floodSteps(plan, upwards, rise), 0, 0.5);
  // The lower bound is the upper one of the mould turned over.
  const downwards = seedFromRim(plan, rim, (point) => -point.low, rise);
  return { upper, lower: yield* partOfSteps(floodSteps(plan, downwards, rise), 0.5, 1) };
}

/**
 * The least slope at which a surface exists: each conflict needs a slope of its own; at that slope the worst conflict left
 * needs a steeper one, and so on. It rises to the answer and settles in a few steps.
 */
function* leastSlopeSteps(plan: PlacedPlan, rim: Rim, field: ColumnField, start: number): Steps<number> {
  let slope = start;
  for (let round = 0; round < 12 && slope < Math.tan(radians(88)); round++) {
    const bounds = yield* partOfSteps(boundsAt(plan, rim, slope * field.column), round / 12, (round + 1) / 12);
    const worst = findConflict(plan, rim.points, bounds, slope, field);
    if (!worst) break;
    slope = Math.max(slope * 1.0001, Math.tan(radians(worst.neededDeg)));
  }
  return Math.min(88, degrees(Math.atan(slope)));
}

function* contoursOf(
  plan: PlacedPlan,
  heights: Float64Array,
  field: ColumnField,
  base: number,
  asked: number | undefined,
): Steps<JointContour[]> {
  let low = Infinity;
  let high = -Infinity;
  for (const h of heights) {
    if (h < low) low = h;
    if (h > high) high = h;
  }
  const span = high - low;
  if (!(span > 1e-6 * field.column)) return [];
  const step = Math.max(asked ?? roundStep(span / 10), span / 1000);
  const contours: JointContour[] = [];
  for (let k = Math.ceil((low + base) / step); k * step < high + base; k++) {
    const level = k * step - base;
    for (const { points, closed } of traceContour(heights, plan.nx, plan.ny, level)) {
      const lifted = new Float64Array((points.length / 2) * 3);
      for (let i = 0; i < points.length; i += 2) {
        const pu = field.u0 + (points[i] - plan.margin) * field.column;
        const pv = field.v0 + (points[i + 1] - plan.margin) * field.column;
        lifted.set(pointAt(field, pu, pv, level), (i / 2) * 3);
      }
      contours.push({ height: k * step, points: lifted, closed });
    }
    yield 0.9;
  }
  return contours;
}

/** The nearest of 1, 2 and 5 times a power of ten from below. */
function roundStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  const lead = step / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}
