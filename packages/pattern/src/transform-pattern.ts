/** Moves, turns and scales a pattern. */
import {
  OddsideError, checkNumber, cross, dot, length, radians, resolveOptions, unitVector, type Vec3,
} from '@oddside/core'; // prettier-ignore
import { checkPattern } from './check-pattern.js';
import type { Pattern } from './pattern.js';
import { turnedOver } from './turn-triangles.js';

/** A turn: about an axis through the origin, or the shortest one that brings one direction onto another. */
export type Turn = { readonly axis: Vec3; readonly angleDeg: number } | { readonly from: Vec3; readonly to: Vec3 };

/** A move in parts, applied in the order scale, rotate, translate. */
export interface Move {
  /** One factor, or one for each axis. A negative product mirrors; the faces are then turned to stay outward. */
  readonly scale?: number | Vec3;
  readonly rotate?: Turn;
  /** mm. */
  readonly translate?: Vec3;
}

/** The defaults of {@link transformPattern}. */
export const MOVE_DEFAULTS: Readonly<Move> = Object.freeze({
  scale: undefined,
  rotate: undefined,
  translate: undefined,
});

/** Twelve numbers by rows: x' = m0 x + m1 y + m2 z + m3, and so on. */
type Affine = readonly number[];

/**
 * A moved copy of a pattern.
 *
 * @param move A {@link Move}, or 16 numbers by columns as three and glTF have them (the last row must be 0 0 0 1).
 * @throws OddsideError `bad-number`, `bad-direction`, `bad-option` for a malformed move; `bad-number` for one that
 * flattens the pattern.
 */
export function transformPattern(pattern: Pattern, move: Move | ArrayLike<number>): Pattern {
  checkPattern(pattern);
  const m = isMatrix(move)
    ? affineOfMatrix(move)
    : affineOfMove(resolveOptions('transformPattern', MOVE_DEFAULTS, move));
  const size =
    m[0] * (m[5] * m[10] - m[6] * m[9]) - m[1] * (m[4] * m[10] - m[6] * m[8]) + m[2] * (m[4] * m[9] - m[5] * m[8]);
  if (!(Math.abs(size) > 0) || !Number.isFinite(size)) {
    throw new OddsideError('bad-number', `The move flattens the pattern (its determinant is ${size}).`, { matrix: m });
  }
  const old = pattern.positions;
  const positions = new Float64Array(old.length);
  for (let i = 0; i < old.length; i += 3) {
    const x = old[i];
    const y = old[i + 1];
    const z = old[i + 2];
    positions[i] = m[0] * x + m[1] * y + m[2] * z + m[3];
    positions[i + 1] = m[4] * x + m[5] * y + m[6] * z + m[7];
    positions[i + 2] = m[8] * x + m[9] * y + m[10] * z + m[11];
  }
  return { ...pattern, positions, triangles: size < 0 ? turnedOver(pattern.triangles) : pattern.triangles.slice() };
}

function isMatrix(move: Move | ArrayLike<number>): move is ArrayLike<number> {
  return Array.isArray(move) || ArrayBuffer.isView(move);
}

function affineOfMatrix(columns: ArrayLike<number>): Affine {
  const c = Array.from(columns);
  const good =
    c.length === 16 && c.every((n) => Number.isFinite(n)) && c[3] === 0 && c[7] === 0 && c[11] === 0 && c[15] === 1;
  if (!good) {
    throw new OddsideError(
      'bad-number',
      `A matrix must be 16 finite numbers by columns with 0 0 0 1 as its last row, but ${c.length} numbers came (${c.slice(0, 16).join(' ')}).`,
    );
  }
  return [c[0], c[4], c[8], c[12], c[1], c[5], c[9], c[13], c[2], c[6], c[10], c[14]];
}

function affineOfMove(move: Move): Affine {
  const [sx, sy, sz] =
    typeof move.scale === 'object' ? move.scale : [move.scale ?? 1, move.scale ?? 1, move.scale ?? 1];
  const [tx, ty, tz] = move.translate ?? [0, 0, 0];
  for (const factor of [sx, sy, sz]) checkNumber('scale', factor);
  for (const part of [tx, ty, tz]) checkNumber('translate (mm)', part);
  const r = move.rotate ? rotation(move.rotate) : [1, 0, 0, 0, 1, 0, 0, 0, 1];
  return [
    r[0] * sx, r[1] * sy, r[2] * sz, tx,
    r[3] * sx, r[4] * sy, r[5] * sz, ty,
    r[6] * sx, r[7] * sy, r[8] * sz, tz,
  ]; // prettier-ignore
}

/** Rodrigues' formula, by rows. */
function rotation(turn: Turn): readonly number[] {
  let axis: Vec3;
  let c: number;
  let s: number;
  if ('axis' in turn) {
    axis = unitVector(turn.axis, 'The axis');
    const angle = radians(checkNumber('angleDeg', turn.angleDeg));
    c = Math.cos(angle);
    s = Math.sin(angle);
  } else {
    const from = unitVector(turn.from, 'The direction to turn from');
    const to = unitVector(turn.to, 'The direction to turn to');
    const across = cross(from, to);
    s = length(across);
    c = dot(from, to);
    // Opposite directions: any axis across will do; take the one across the axis of the file that leans on `from` least.
    const small = Math.abs(from[0]) <= Math.abs(from[1]) && Math.abs(from[0]) <= Math.abs(from[2]);
    const helper: Vec3 = small ? [1, 0, 0] : Math.abs(from[1]) <= Math.abs(from[2]) ? [0, 1, 0] : [0, 0, 1];
    if (s > 1e-12) axis = unitVector(across);
    else if (c > 0) return [1, 0, 0, 0, 1, 0, 0, 0, 1];
    else axis = unitVector(cross(from, helper));
  }
  const [x, y, z] = axis;
  const t = 1 - c;
  return [
    t * x * x + c, t * x * y - s * z, t * x * z + s * y,
    t * x * y + s * z, t * y * y + c, t * y * z - s * x,
    t * x * z - s * y, t * y * z + s * x, t * z * z + c,
  ]; // prettier-ignore
}
