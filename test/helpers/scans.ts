/** Real measured objects for tests and benches, from development packages. They are never part of what is published. */
import { createRequire } from 'node:module';
import type { Mesh } from './mesh.js';

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
