/** Where a glTF node puts its content. */
import type { Placing } from './collect-triangles.js';
import { fault, type Json } from './read-gltf-accessor.js';

/** The node's matrix, or its translation, rotation and scale as one; `undefined` where it has none. */
export function nodePlacing(node: Json, index: number): Placing | undefined {
  if (node.matrix !== undefined) {
    const c = numbers(node.matrix, 16, `the matrix of node ${index}`);
    return Float64Array.of(c[0], c[4], c[8], c[12], c[1], c[5], c[9], c[13], c[2], c[6], c[10], c[14]);
  }
  const { translation, rotation, scale } = node;
  if (translation === undefined && rotation === undefined && scale === undefined) return undefined;
  const t = translation === undefined ? [0, 0, 0] : numbers(translation, 3, `the translation of node ${index}`);
  const s = scale === undefined ? [1, 1, 1] : numbers(scale, 3, `the scale of node ${index}`);
  const q = rotation === undefined ? [0, 0, 0, 1] : numbers(rotation, 4, `the rotation of node ${index}`);
  const size = Math.hypot(q[0], q[1], q[2], q[3]);
  if (!(size > 0)) throw fault(`the rotation of node ${index} is all zero`);
  // Files round their quaternions; as they stand they would scale the part a little.
  const [x, y, z, w] = q.map((part) => part / size);
  return Float64Array.of(
    (1 - 2 * (y * y + z * z)) * s[0], 2 * (x * y - z * w) * s[1], 2 * (x * z + y * w) * s[2], t[0],
    2 * (x * y + z * w) * s[0], (1 - 2 * (x * x + z * z)) * s[1], 2 * (y * z - x * w) * s[2], t[1],
    2 * (x * z - y * w) * s[0], 2 * (y * z + x * w) * s[1], (1 - 2 * (x * x + y * y)) * s[2], t[2],
  ); // prettier-ignore
}

function numbers(value: unknown, count: number, what: string): number[] {
  if (Array.isArray(value) && value.length === count && value.every((part) => Number.isFinite(part))) {
    return value as number[];
  }
  throw fault(`${what} is not ${count} finite numbers`);
}
