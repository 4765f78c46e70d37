/** Where a pattern's corners lie on a grid of columns. */
import type { ColumnField } from './column-field.js';

/** Place along `u` and `v` in columns, column axes at whole numbers, and height in mm: x y z of each corner. */
export function placeCorners(positions: Float64Array, field: ColumnField): Float64Array {
  const { u, v, direction: d, origin, u0, v0, column } = field;
  const placed = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const x = positions[i] - origin[0];
    const y = positions[i + 1] - origin[1];
    const z = positions[i + 2] - origin[2];
    placed[i] = (x * u[0] + y * u[1] + z * u[2] - u0) / column;
    placed[i + 1] = (x * v[0] + y * v[1] + z * v[2] - v0) / column;
    placed[i + 2] = x * d[0] + y * d[1] + z * d[2];
  }
  return placed;
}
