/** A pattern's columns as a plain grid in the frame of a draw: where metal begins and ends over each place. */
import {
  CELL_BOTTOM,
  CELL_CROSSINGS,
  CELL_STRIDE,
  CELL_TOP,
  castColumns,
  imbalance,
  upwardCrossings,
} from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { intoFrame, type DrawFrame } from './draw-frame.js';

export interface FrameColumns {
  readonly nu: number;
  readonly nv: number;
  /** Width of a column, mm. */
  readonly column: number;
  /** Place of each column's axis in plan. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Lowest and highest metal, mm in the frame; +∞ and −∞ where there is none. */
  readonly bottom: Float64Array;
  readonly top: Float64Array;
  /** 1 where the column holds one unbroken stretch of metal. */
  readonly whole: Uint8Array;
}

/** Casts the columns of a pattern. */
export function frameColumns(frame: DrawFrame, pattern: Pattern, columns: number): FrameColumns {
  const field = castColumns(pattern, frame.d, columns);
  const { nu, nv, column, u, v, origin, cells } = field;
  const count = nu * nv;
  const out: FrameColumns = {
    nu,
    nv,
    column,
    x: new Float64Array(count),
    y: new Float64Array(count),
    bottom: new Float64Array(count),
    top: new Float64Array(count),
    whole: new Uint8Array(count),
  };
  const at = (pu: number, pv: number): readonly [number, number, number] =>
    intoFrame(frame, [
      origin[0] + pu * u[0] + pv * v[0],
      origin[1] + pu * u[1] + pv * v[1],
      origin[2] + pu * u[2] + pv * v[2],
    ]);
  for (let k = 0; k < count; k++) {
    const [x, y, z] = at(field.u0 + (k % nu) * column, field.v0 + Math.floor(k / nu) * column);
    const cell = k * CELL_STRIDE;
    out.x[k] = x;
    out.y[k] = y;
    out.bottom[k] = cells[cell + CELL_BOTTOM] + z;
    out.top[k] = cells[cell + CELL_TOP] + z;
    const crossings = cells[cell + CELL_CROSSINGS];
    out.whole[k] = Number(imbalance(crossings) === 0 && upwardCrossings(crossings) === 1);
  }
  return out;
}

/**
 * Distance from each marked column's axis to the nearest unmarked one or the grid's edge, mm. Two passes that carry the
 * place of the nearest along; exact to a small part of a column.
 */
export function distanceInside(mask: Uint8Array, nu: number, nv: number, column: number): Float64Array {
  const far = nu + nv;
  const dx = new Float64Array(nu * nv);
  const dy = new Float64Array(nu * nv);
  for (let k = 0; k < mask.length; k++) if (mask[k]) dx[k] = far;
  const visit = (i: number, j: number): void => {
    const k = j * nu + i;
    if (!mask[k]) return;
    let least = dx[k] * dx[k] + dy[k] * dy[k];
    for (let oy = -1; oy <= 1; oy++) {
      for (let ox = -1; ox <= 1; ox++) {
        if (ox === 0 && oy === 0) continue;
        const outside = i + ox < 0 || j + oy < 0 || i + ox >= nu || j + oy >= nv;
        const n = k + oy * nu + ox;
        const x = (outside ? 0 : dx[n]) + Math.abs(ox);
        const y = (outside ? 0 : dy[n]) + Math.abs(oy);
        // Squares, which order as lengths do and are whole numbers.
        if (x * x + y * y >= least) continue;
        least = x * x + y * y;
        dx[k] = x;
        dy[k] = y;
      }
    }
  };
  for (let pass = 0; pass < 2; pass++) {
    for (let j = 0; j < nv; j++) for (let i = 0; i < nu; i++) visit(i, j);
    for (let j = nv - 1; j >= 0; j--) for (let i = nu - 1; i >= 0; i--) visit(i, j);
  }
  return Float64Array.from(mask, (m, k) => (m ? Math.hypot(dx[k], dy[k]) * column : 0));
}
