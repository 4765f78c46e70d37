/** Where a pattern's corners lie on a grid of columns. */
import type { Vec3 } from '@oddside/core';
import type { ColumnField } from './column-field.js';

/** Places corners: along `u` and `v` in columns, column axes at whole numbers, and height in mm. */
export class CornerPlacer {
  readonly #origin: Vec3;
  readonly #u: Vec3;
  readonly #v: Vec3;
  readonly #d: Vec3;
  readonly #u0: number;
  readonly #v0: number;
  readonly #column: number;

  constructor({ u, v, direction, origin, u0, v0, column }: ColumnField) {
    this.#origin = origin;
    this.#u = u;
    this.#v = v;
    this.#d = direction;
    this.#u0 = u0;
    this.#v0 = v0;
    this.#column = column;
  }

  /** Places `count` corners, whose coordinates begin at `from`, and writes x y z of each to `to` on. */
  place(positions: Float64Array, from: number, placed: Float64Array, to: number, count: number): void {
    const [ox, oy, oz] = this.#origin;
    const [ux, uy, uz] = this.#u;
    const [vx, vy, vz] = this.#v;
    const [dx, dy, dz] = this.#d;
    const [u0, v0, column] = [this.#u0, this.#v0, this.#column];
    for (let i = from, j = to; i < from + 3 * count; i += 3, j += 3) {
      const x = positions[i] - ox;
      const y = positions[i + 1] - oy;
      const z = positions[i + 2] - oz;
      placed[j] = (x * ux + y * uy + z * uz - u0) / column;
      placed[j + 1] = (x * vx + y * vy + z * vz - v0) / column;
      placed[j + 2] = x * dx + y * dy + z * dz;
    }
  }

  /** Places the corners of triangles, named by their numbers: x y z of each corner, nine numbers a triangle. */
  placeTriangles(positions: Float64Array, triangles: Uint32Array, which: Uint32Array): Float64Array {
    const placed = new Float64Array(9 * which.length);
    const near = new Float64Array(9 * AT_ONCE);
    for (let from = 0; from < which.length; from += AT_ONCE) {
      const count = Math.min(AT_ONCE, which.length - from);
      gatherCorners(positions, triangles, which, from, count, near);
      this.place(near, 0, placed, 9 * from, 3 * count);
    }
    return placed;
  }
}

/** Triangles gathered at a time: few enough to stay in the nearest cache. */
const AT_ONCE = 128;

/** Copies the corners of some triangles: nine numbers each. */
function gatherCorners(
  positions: Float64Array,
  triangles: Uint32Array,
  which: Uint32Array,
  from: number,
  count: number,
  corners: Float64Array,
): void {
  for (let i = 0, at = 0; i < count; i++) {
    const first = 3 * which[from + i];
    for (let k = first; k < first + 3; k++, at += 3) {
      const p = 3 * triangles[k];
      corners[at] = positions[p];
      corners[at + 1] = positions[p + 1];
      corners[at + 2] = positions[p + 2];
    }
  }
}

/** Places all corners: x y z of each. */
export function placeCorners(positions: Float64Array, field: ColumnField): Float64Array {
  const placed = new Float64Array(positions.length);
  new CornerPlacer(field).place(positions, 0, placed, 0, positions.length / 3);
  return placed;
}
