/** Meshes made finer, so that one real object can be had with any number of triangles. */
import type { Mesh } from './mesh.js';
import { seededRandom } from './random.js';

/** Every triangle cut into four at the middles of its edges; the surface stays where it is. */
export function subdivide({ positions, triangles }: Mesh): Mesh {
  const places = Array.from(positions);
  const middles = new Map<number, number>();
  const middle = (a: number, b: number): number => {
    const key = a < b ? a * 2 ** 26 + b : b * 2 ** 26 + a;
    let at = middles.get(key);
    if (at === undefined) {
      at = places.length / 3;
      middles.set(key, at);
      for (let k = 0; k < 3; k++) places.push((positions[3 * a + k] + positions[3 * b + k]) / 2);
    }
    return at;
  };
  const finer = new Uint32Array(triangles.length * 4);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = triangles.subarray(t, t + 3);
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
    finer.set([a, ab, ca, ab, b, bc, ca, bc, c, ab, bc, ca], 4 * t);
  }
  return { positions: Float64Array.from(places), triangles: finer };
}

/** Every corner moved at random by up to half of `by` along each axis: the noise of a scanner. */
export function roughen({ positions, triangles }: Mesh, by: number, seed: number): Mesh {
  const random = seededRandom(seed);
  return { positions: positions.map((value) => value + by * (random() - 0.5)), triangles };
}
