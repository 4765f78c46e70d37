/** What the oracle tests share: one draw of one solid assessed, and what a flat joint at any height traps. */
import { assessDraw, castColumns, misfitLength, sumColumns, type DrawAssessment } from '@oddside/parting';
import { dot, unitVector, type Vec3 } from '@oddside/core';
import { asPattern, type Mesh } from '../helpers/shapes.js';

/** A direction tilted by `deg` from z towards `turnDeg` in the x–y plane. */
export function tilted(deg: number, turnDeg = 0): Vec3 {
  const [tilt, turn] = [(deg * Math.PI) / 180, (turnDeg * Math.PI) / 180];
  return [Math.sin(tilt) * Math.cos(turn), Math.sin(tilt) * Math.sin(turn), Math.cos(tilt)];
}

/** The tangent of an angle in degrees. */
export const tan = (deg: number): number => Math.tan((deg * Math.PI) / 180);

export function assess(mesh: Mesh, direction: readonly number[], columns = 256): DrawAssessment {
  return assessDraw(asPattern(mesh), direction as Vec3, { columns });
}

/** Sand that a flat joint at height h traps, back draft included: T(h) of the theory. */
export function trappedAt(mesh: Mesh, direction: readonly number[], columns = 256): (height: number) => number {
  const field = castColumns(asPattern(mesh), direction as Vec3, columns);
  const base = dot(field.origin, unitVector(direction));
  const held = sumColumns(field).backDraftMm3;
  const cell = field.column * field.column;
  return (height) => held + misfitLength(field.cells, height - base) * cell;
}
