/** Where a pattern's corners lie on a grid of columns. */
import type { ColumnField } from './column-field.js';

/** Places one corner, whose coordinates begin at `from`, and writes x y z to `to` on. */
export type CornerPlacer = (positions: Float64Array, from: number, placed: Float64Array, to: number) => void;

/** What places corners: along `u` and `v` in columns, column axes at whole numbers, and height in mm. */
export function placerOn({ u, v, direction, origin, u0, v0, column }: ColumnField): CornerPlacer {
  const [ox, oy, oz] = origin;
  const [ux, uy, uz] = u;
  const [vx, vy, vz] = v;
  const [dx, dy, dz] = direction;
  return (positions, from, placed, to) => {
    const x = positions[from] - ox;
    const y = positions[from + 1] - oy;
    const z = positions[from + 2] - oz;
    placed[to] = (x * ux + y * uy + z * uz - u0) / column;
    placed[to + 1] = (x * vx + y * vy + z * vz - v0) / column;
    placed[to + 2] = x * dx + y * dy + z * dz;
  };
}

/** Places all corners: x y z of each. */
export function placeCorners(positions: Float64Array, field: ColumnField): Float64Array {
  const place = placerOn(field);
  const placed = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) place(positions, i, placed, i);
  return placed;
}
