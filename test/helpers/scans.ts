/** Real measured objects for tests and benches, from development packages. They are never part of what is published. */
import { createRequire } from 'node:module';
import type { Mesh } from './mesh.js';
import { roughen } from './refine.js';

interface Complex {
  readonly positions: readonly (readonly number[])[];
  readonly cells: readonly (readonly number[])[];
}

function load(from: string): Mesh {
  const complex = createRequire(import.meta.url)(from) as Complex;
  return { positions: Float64Array.from(complex.positions.flat()), triangles: Uint32Array.from(complex.cells.flat()) };
}

/** The scanned hare of package `bunny` (public domain), y up, about 10 units high: 3,674 triangles. */
export function bunnyMesh(): Mesh {
  return load('bunny');
}

/** The scanned bust of package `snowden` (MIT): 109,259 (`hi`) or 37,629 (`lo`) triangles, with holes and worse. */
export function snowdenMesh(detail: 'hi' | 'lo'): Mesh {
  return load(`snowden/${detail}.js`);
}

/**
 * A finer scan of the same object: every triangle in n² and every corner off by up to half of `noise` along each axis. Corners on common edges stay common, so what was closed is closed.
 */
export function rescan({ positions, triangles }: Mesh, n: number, noise: number, seed: number): Mesh {
  const corners: number[] = [];
  const known = new Map<string, number>();
  const fine: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const own = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const corner = (i: number, j: number): number => {
      const weights = [n - i - j, i, j];
      const used = [0, 1, 2].filter((k) => weights[k] > 0).sort((a, b) => own[a] - own[b]);
      const key = used.length === 3 ? `${t} ${i} ${j}` : used.map((k) => `${own[k]}:${weights[k]}`).join(' ');
      let number = known.get(key);
      if (number === undefined) {
        known.set(key, (number = corners.length / 3));
        for (let axis = 0; axis < 3; axis++) {
          corners.push([0, 1, 2].reduce((sum, k) => sum + (weights[k] / n) * positions[3 * own[k] + axis], 0));
        }
      }
      return number;
    };
    for (let i = 0; i < n; i++) {
      for (let j = 0; i + j < n; j++) {
        fine.push(corner(i, j), corner(i + 1, j), corner(i, j + 1));
        if (i + j + 1 < n) fine.push(corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1));
      }
    }
  }
  const smooth = { positions: Float64Array.from(corners), triangles: Uint32Array.from(fine) };
  return roughen(smooth, noise, seed);
}
