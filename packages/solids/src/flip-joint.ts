/** Joints turned over, and joints made of what the parting package shapes. */
import { dot, scale } from '@oddside/core';
import {
  CELL_BOTTOM,
  CELL_STRIDE,
  CELL_TOP,
  castColumns,
  type ColumnField,
  type PartingSurface,
} from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import type { Joint, SurfaceJoint } from './joint.js';

/** The same joint for the opposite draw: heights change sign. */
export function flipJoint(joint: Joint): Joint {
  switch (joint.kind) {
    case 'level':
      return { kind: 'level', height: -joint.height };
    case 'tilted':
      return { ...joint, normal: scale(joint.normal, -1) };
    case 'surface':
      return { ...joint, heights: joint.heights.map((height) => -height) };
  }
}

/** Sweeps over the metal after which a joint through it is as smooth as it gets. */
const SWEEPS = 200;

/**
 * A joint that cuts bodies from a shaped parting surface, which says nothing where metal is: there the joint is carried
 * through the metal as a stretched skin, held between the lowest and the highest metal of each column.
 *
 * @param pattern The pattern that the surface was shaped for.
 * @returns The joint. Cost: one cast and about 2 ms per thousand columns of metal.
 */
export function jointThroughMetal(pattern: Pattern, surface: PartingSurface): SurfaceJoint {
  const { column, nu, nv, u0, v0, origin, u, v } = surface;
  const heights = surface.heights.slice();
  const limits = metalLimits(pattern, surface);
  const metal: number[] = [];
  let sum = 0;
  let count = 0;
  for (let k = 0; k < heights.length; k++) {
    if (Number.isNaN(heights[k])) metal.push(k);
    else {
      sum += heights[k];
      count++;
    }
  }
  const start = count > 0 ? sum / count : surface.jointHeight;
  const within = (k: number, height: number): number => Math.max(limits.low[k], Math.min(limits.high[k], height));
  for (const k of metal) heights[k] = within(k, start);
  // Gauss and Seidel's way of stretching a skin, there and back, so that news travels both ways alike.
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    const order = sweep % 2 === 0 ? metal : metal.toReversed();
    for (const k of order) {
      const i = k % nu;
      const j = (k - i) / nu;
      const around = [
        i > 0 ? heights[k - 1] : heights[k],
        i + 1 < nu ? heights[k + 1] : heights[k],
        j > 0 ? heights[k - nu] : heights[k],
        j + 1 < nv ? heights[k + nu] : heights[k],
      ];
      heights[k] = within(k, (around[0] + around[1] + around[2] + around[3]) / 4);
    }
  }
  return { kind: 'surface', origin, u, v, column, nu, nv, u0, v0, heights };
}

/** Lowest and highest metal at each node of a surface, mm from the file's origin; without limits where columns miss it. */
function metalLimits(pattern: Pattern, surface: PartingSurface): { low: Float64Array; high: Float64Array } {
  const { nu, nv, column } = surface;
  const low = new Float64Array(nu * nv).fill(-Infinity);
  const high = new Float64Array(nu * nv).fill(Infinity);
  const probe = castColumns(pattern, surface.direction, 2);
  const across = probe.column * 2;
  const field = castColumns(pattern, surface.direction, Math.max(2, Math.min(2048, Math.round(across / column))));
  const base = dot(field.origin, field.direction);
  for (let k = 0; k < low.length; k++) {
    const cell = cellAt(field, surface, k);
    if (cell < 0 || field.cells[cell + CELL_TOP] === -Infinity) continue;
    low[k] = field.cells[cell + CELL_BOTTOM] + base;
    high[k] = field.cells[cell + CELL_TOP] + base;
  }
  return { low, high };
}

/** The cell of the field nearest to a node, or -1 beyond the field. */
function cellAt(field: ColumnField, surface: PartingSurface, k: number): number {
  const pu = surface.u0 + (k % surface.nu) * surface.column;
  const pv = surface.v0 + Math.floor(k / surface.nu) * surface.column;
  const place = [0, 1, 2].map((n) => surface.origin[n] - field.origin[n] + pu * surface.u[n] + pv * surface.v[n]);
  const along = (axis: readonly number[]): number => place[0] * axis[0] + place[1] * axis[1] + place[2] * axis[2];
  const i = Math.round((along(field.u) - field.u0) / field.column);
  const j = Math.round((along(field.v) - field.v0) / field.column);
  return i < 0 || j < 0 || i >= field.nu || j >= field.nv ? -1 : (j * field.nu + i) * CELL_STRIDE;
}
