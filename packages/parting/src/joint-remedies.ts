/** What can be done about a joint that traps sand outside what the pattern parts itself: move it, or shape it. */
import { dot, formatLength, formatVolume, partOfSteps, plainNumber, type Steps, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { findFlatJoint, misfitLength } from './find-flat-joint.js';
import { layJoint } from './lay-joint.js';
import type { PartingSurface } from './parting-surface.js';
import { FREE, type Remedy } from './remedy.js';
import { castLike } from './trace-shadow-boundary.js';

/** A flat joint's misfit, told apart. */
export interface MisfitParts {
  /** Sand over the rim that has to be coped down or built up, mm³. */
  readonly rimMm3: number;
  /** Sand inside the outline that the pattern itself parts, mm³. */
  readonly ownMm3: number;
}

/**
 * Tells a flat joint's misfit apart.
 *
 * @param filled The field with its hollows filled, see `basinSteps`.
 * @param height mm along the draw from the file's origin.
 */
export function misfitParts(field: ColumnField, filled: ColumnField, height: number): MisfitParts {
  const at = height - dot(field.origin, field.direction);
  const area = field.column * field.column;
  const rimMm3 = misfitLength(filled.cells, at) * area;
  return { rimMm3, ownMm3: misfitLength(field.cells, at) * area - rimMm3 };
}

/** What is asked of the joint. */
export interface JointRemedyTask {
  readonly jointHeight: number;
  readonly slopeLimitDeg: number;
  /** Sand held whatever the joint, and its error; and what counts as nothing, mm³. */
  readonly held: number;
  readonly heldError: number;
  readonly nothing: number;
}

/** Remedies for the joint. Cost: a joint laid or two, where a flat one traps sand over the rim. */
export function* jointRemedySteps(
  pattern: Pattern,
  field: ColumnField,
  filled: ColumnField,
  task: JointRemedyTask,
): Steps<Remedy[]> {
  const { jointHeight, held, heldError, nothing } = task;
  const now = misfitParts(field, filled, jointHeight);
  const best = findFlatJoint(filled);
  const bestHeight = best.height + dot(field.origin, field.direction);
  const remedies: Remedy[] = [];
  const better = best.misfitMm3 < 0.98 * now.rimMm3 - nothing;
  if (better) {
    remedies.push({
      kind: 'move-joint',
      region: null,
      costs: FREE,
      leftMm3: held + best.misfitMm3,
      leftErrorMm3: heldError,
      where: null,
      jointHeight: bestHeight,
      sentence: `${sayMove(bestHeight - jointHeight)}: flat outside the pattern it then traps ${formatVolume(best.misfitMm3)} over the rim instead of ${formatVolume(now.rimMm3)}.`,
    });
  }
  const height = better ? bestHeight : jointHeight;
  if ((better ? best.misfitMm3 : now.rimMm3) <= nothing) {
    if (!better && now.ownMm3 > nothing) remedies.push(keepFlat(height, now, task));
    return remedies;
  }
  const surface = yield* shapeSteps(pattern, field.direction, height, task.slopeLimitDeg, field.column);
  remedies.push(shaped(surface.surface, surface.band, trappedAtRim(pattern, surface.surface), task));
  return remedies;
}

const sayMove = (by: number): string =>
  `Move the joint ${by > 0 ? 'up' : 'down'} by ${formatLength(Math.abs(by), 'metric', 2)}`;

/** Columns are three times as wide as the assessment's: the joint's volumes need no more. */
function* shapeSteps(
  pattern: Pattern,
  direction: Vec3,
  jointHeight: number,
  slopeLimitDeg: number,
  column: number,
): Steps<{ surface: PartingSurface; band: number }> {
  const task = { slopeLimitDeg, jointHeight, column: 3 * column, band: 0, margin: undefined, contourStep: undefined };
  const strict = yield* partOfSteps(layJoint(pattern, direction, task), 0, 0.3);
  if (!strict.conflict) return { surface: yield* partOfSteps(strict.finish(), 0.3, 1), band: 0 };
  // A scan's rim is ragged: where no joint meets it exactly, one that may leave it by a column often does.
  const eased = yield* partOfSteps(layJoint(pattern, direction, { ...task, band: column }), 0.3, 0.6);
  const chosen = eased.conflict ? strict : eased;
  return { surface: yield* partOfSteps(chosen.finish(), 0.6, 1), band: eased.conflict ? 0 : column };
}

function keepFlat(height: number, { ownMm3 }: MisfitParts, { held, heldError }: JointRemedyTask): Remedy {
  return {
    kind: 'shape-joint',
    region: null,
    costs: FREE,
    leftMm3: held,
    leftErrorMm3: heldError,
    where: null,
    jointHeight: height,
    sentence: `Keep the joint flat outside the pattern: the ${formatVolume(ownMm3)} it seems to trap lie inside the outline, where the pattern itself parts the sand.`,
  };
}

function shaped(surface: PartingSurface, band: number, trapped: number, task: JointRemedyTask): Remedy {
  const sandMm3 = surface.copeDownMm3 + surface.buildUpMm3;
  const slope = plainNumber(surface.feasible ? surface.slopeLimitDeg : (surface.leastSlopeDeg ?? 90));
  const isFlat = surface.feasible && sandMm3 <= surface.volumeErrorMm3;
  const ease = band > 0 ? ` It leaves the rim by up to ${formatLength(band)} where that is ragged.` : '';
  return {
    kind: 'shape-joint',
    region: null,
    costs: { sandMm3, metalMm3: 0, parts: 0 },
    leftMm3: task.held,
    leftErrorMm3: task.heldError + trapped,
    where: surface.conflict ? surface.conflict.high : surface.steepestAt,
    jointHeight: surface.jointHeight,
    surface,
    sentence: isFlat
      ? `Keep the joint flat outside the pattern: what must be dug at its rim is too little to measure in columns of ${formatLength(surface.column)}.${ease}`
      : surface.feasible
        ? `Shape the joint to the pattern, no steeper than ${slope}°: cope down ${formatVolume(surface.copeDownMm3)} and build up ${formatVolume(surface.buildUpMm3)}.${ease}`
        : `Step the joint: a slope of ${slope}° at least is needed, more than the ${plainNumber(surface.slopeLimitDeg)}° asked for; about ${formatVolume(sandMm3)} of sand is moved.`,
  };
}

/** What a shaped joint still traps in the columns of metal beside it, measured on the pattern again, mm³. */
function trappedAtRim(pattern: Pattern, surface: PartingSurface): number {
  const field = castLike(pattern, surface.direction, surface.column);
  const base = dot(field.origin, field.direction);
  const margin = Math.round((field.u0 - surface.u0) / field.column);
  const across = Math.round((field.v0 - surface.v0) / field.column);
  let sum = 0;
  for (let y = 0; y < field.nv; y++) {
    for (let x = 0; x < field.nu; x++) {
      const i = (y * field.nu + x) * CELL_STRIDE;
      if (field.cells[i + CELL_TOP] === -Infinity) continue;
      const c = (y + across) * surface.nu + x + margin;
      let least = Infinity;
      for (const p of [c - 1, c + 1, c - surface.nu, c + surface.nu]) {
        const height = surface.heights[p] - base;
        if (Number.isNaN(height)) continue;
        least = Math.min(least, Math.max(0, height - field.cells[i + CELL_TOP], field.cells[i + CELL_BOTTOM] - height));
      }
      if (least < Infinity) sum += least;
    }
  }
  return sum * field.column * field.column;
}
