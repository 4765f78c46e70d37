/**
 * The least-dug joint. A joint must meet the pattern within the corridor of its rim, and sand will stand no steeper than a
 * slope. Of all surfaces within that slope, one lies at every place as near to the flat joint as any can: the flat joint
 * itself, moved only where the highest or the lowest possible surface forces it (geometry of two-part moulds, extension to
 * the flask; McShane's and Whitney's extension on the sand's own distances).
 */
import { checkNumber, degrees, dot, radians, resolveOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import type { ColumnField } from './column-field.js';
import { findConflict } from './find-joint-conflict.js';
import { findingsOfSurface } from './judge-parting-surface.js';
import { pointAt } from './lay-parting-loop.js';
import { floodSand } from './march-sand.js';
import { measureJoint } from './measure-joint.js';
import type { JointContour, PartingSurface } from './parting-surface.js';
import { listRim, outerSand, planSand, seedFromRim, type PlacedPlan, type RimPoint } from './plan-sand.js';
import { traceContour } from './trace-contours.js';
import { castLike, traceShadowBoundary } from './trace-shadow-boundary.js';

/** What {@link shapePartingSurface} takes. */
export interface ShapePartingSurfaceOptions {
  /** Steepest slope of the joint, degrees, 5–85. Default 30: green sand stands steeper, but the cope must lift off it (common practice, no source). */
  readonly slopeLimitDeg: number;
  /** Height of the flat joint to leave as little as possible, mm from the file's origin, at most the pattern's height off it. Default: the assessment's. */
  readonly jointHeight: number | undefined;
  /** Width of a column, mm. Default: twice the assessment's. */
  readonly column: number | undefined;
  /**
   * How far, mm, the wall may have drawn in and still count as the rim, at most a twentieth of the pattern. A little gives
   * a much flatter joint on a scan, at the price of as deep an undercut. Default 0.
   */
  readonly band: number;
  /** Room between pattern and flask wall that there is, mm; more than the joint needs is left flat. Default: whatever the joint needs. */
  readonly margin: number | undefined;
  /** Height between contours, mm. Default: a tenth of the joint's rise, rounded to 1, 2 or 5 of a power of ten. */
  readonly contourStep: number | undefined;
}

/** Defaults of {@link shapePartingSurface}. */
export const SHAPE_PARTING_SURFACE_DEFAULTS: ShapePartingSurfaceOptions = Object.freeze({
  slopeLimitDeg: 30,
  jointHeight: undefined,
  column: undefined,
  band: 0,
  margin: undefined,
  contourStep: undefined,
});

/** Columns of the plan at most; wider columns are taken rather than more. */
const MOST_COLUMNS = 500_000;
/** … but not wider than this many across the pattern. */
const LEAST_ACROSS = 12;

/**
 * Shapes the joint of a pattern along an assessed draw.
 *
 * @param assessment Of the same pattern; its direction, column and flat joint are used.
 * @returns The surface, or the pair of places that makes one impossible and the least slope that would do.
 *   Deterministic. Cost: about three casts and 1 µs a column of the plan; several times that where it is impossible.
 * @throws OddsideError `bad-option`, `bad-number`.
 */
export function shapePartingSurface(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  options?: Partial<ShapePartingSurfaceOptions>,
): PartingSurface {
  const chosen = resolveOptions('shapePartingSurface', SHAPE_PARTING_SURFACE_DEFAULTS, options);
  checkNumber('slopeLimitDeg (degrees)', chosen.slopeLimitDeg, { min: 5, max: 85 });
  const jointHeight = chosen.jointHeight ?? assessment.flat.height;
  const asked = checkNumber('column (mm)', chosen.column ?? 2 * assessment.column, { min: 0, above: true });
  checkNumber('band (mm)', chosen.band, { min: 0 });
  if (chosen.margin !== undefined) checkNumber('margin (mm)', chosen.margin, { min: 0 });
  if (chosen.contourStep !== undefined) checkNumber('contourStep (mm)', chosen.contourStep, { min: 0, above: true });
  const slope = Math.tan(radians(chosen.slopeLimitDeg));

  const { field, plan, rim } = layOut(pattern, assessment.direction, asked, jointHeight, slope, chosen.band);
  const joint = jointHeight - dot(field.origin, field.direction);
  const bounds = boundsAt(plan, rim, slope * field.column);
  const found = findConflict(plan, rim.points, bounds, slope, field);
  const heights = new Float64Array(plan.nx * plan.ny).fill(NaN);
  for (let c = 0; c < heights.length; c++) {
    if (!plan.sand[c]) continue;
    const [low, high] = [-bounds.lower.heights[c], bounds.upper.heights[c]];
    heights[c] = low <= high ? Math.min(high, Math.max(low, joint)) : (low + high) / 2;
  }
  const measured = measureJoint(plan, heights, joint, field, outerSand(plan), slope);
  const base = jointHeight - joint;
  const surface = {
    direction: field.direction,
    slopeLimitDeg: chosen.slopeLimitDeg,
    jointHeight,
    feasible: found === null,
    conflict: found,
    leastSlopeDeg: found ? leastSlopeDeg(plan, rim, field, Math.tan(radians(found.neededDeg))) : null,
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
    contours: contoursOf(plan, heights, field, base, chosen.contourStep),
  };
  const findings = findingsOfSurface(surface, chosen.margin);
  return { ...surface, reliable: findings.every((finding) => finding.severity === 'note'), findings };
}

interface Rim {
  readonly points: readonly RimPoint[];
  readonly next: readonly number[];
}

/** Casts, traces the rim and lays a plan round it wide enough for the joint to come back to the flat one. */
function layOut(
  pattern: Pattern,
  direction: Vec3,
  asked: number,
  jointHeight: number,
  slope: number,
  bandAsked: number,
): { field: ColumnField; plan: PlacedPlan; rim: Rim } {
  let field = castLike(pattern, direction, asked);
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
    const loops = traceShadowBoundary(pattern, field, band);
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
    field = castLike(pattern, direction, field.column * Math.max(1.2, Math.sqrt(size / MOST_COLUMNS)));
  }
}

function boundsAt(
  plan: PlacedPlan,
  rim: Rim,
  rise: number,
): { upper: ReturnType<typeof floodSand>; lower: ReturnType<typeof floodSand> } {
  // The lower bound is the upper one of the mould turned over.
  return {
    upper: floodSand(
      plan,
      seedFromRim(plan, rim, (point) => point.high, rise),
      rise,
    ),
    lower: floodSand(
      plan,
      seedFromRim(plan, rim, (point) => -point.low, rise),
      rise,
    ),
  };
}

/**
 * The least slope at which a surface exists: each conflict needs a slope of its own; at that slope the worst conflict left
 * needs a steeper one, and so on. It rises to the answer and settles in a few steps.
 */
function leastSlopeDeg(plan: PlacedPlan, rim: Rim, field: ColumnField, start: number): number {
  let slope = start;
  for (let round = 0; round < 12 && slope < Math.tan(radians(88)); round++) {
    const worst = findConflict(plan, rim.points, boundsAt(plan, rim, slope * field.column), slope, field);
    if (!worst) break;
    slope = Math.max(slope * 1.0001, Math.tan(radians(worst.neededDeg)));
  }
  return Math.min(88, degrees(Math.atan(slope)));
}

function contoursOf(
  plan: PlacedPlan,
  heights: Float64Array,
  field: ColumnField,
  base: number,
  asked: number | undefined,
): JointContour[] {
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
  }
  return contours;
}

/** The nearest of 1, 2 and 5 times a power of ten from below. */
function roundStep(step: number): number {
  const power = 10 ** Math.floor(Math.log10(step));
  const lead = step / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}
