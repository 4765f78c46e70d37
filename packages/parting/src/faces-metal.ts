/** Does a wall look across sand at metal again, as the walls of pockets and holes do? */
import { dot, subtract, type Vec3 } from '@oddside/core';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/**
 * Walks from the middle of a face level outwards and says whether a column with metal above and below that height comes.
 *
 * @param middles @param normals As in `Faces`.
 */
export function facesMetal(field: ColumnField, middles: Float64Array, normals: Float64Array, face: number): boolean {
  const { u, v, u0, v0, nu, nv, column, cells } = field;
  const at = (list: Float64Array): Vec3 => [list[3 * face], list[3 * face + 1], list[3 * face + 2]];
  const from = subtract(at(middles), field.origin);
  const alongU = dot(at(normals), u);
  const alongV = dot(at(normals), v);
  const level = Math.hypot(alongU, alongV);
  if (!(level > 0)) return false;
  const height = dot(from, field.direction);
  const x = (dot(from, u) - u0) / column;
  const y = (dot(from, v) - v0) / column;
  // The first step and a half may still lie in the wall's own columns.
  for (let step = 1.5; step < nu + nv; step++) {
    const i = Math.round(x + (step * alongU) / level);
    const j = Math.round(y + (step * alongV) / level);
    if (i < 0 || j < 0 || i >= nu || j >= nv) return false;
    const cell = (j * nu + i) * CELL_STRIDE;
    if (cells[cell + CELL_TOP] >= height && cells[cell + CELL_BOTTOM] <= height) return true;
  }
  return false;
}
