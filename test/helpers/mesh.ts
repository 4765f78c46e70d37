/** What the shape builders make, and the plain sums the tests check them with. Independent of the packages' own code. */
import type { Pattern } from '@oddside/pattern';

export type Point = readonly [number, number, number];

/** A triangle mesh: corners n×3 in mm, corner numbers m×3, counter-clockwise from outside. */
export interface Mesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

/** A mesh as a pattern that the caller gave in mm. */
export function asPattern(mesh: Mesh, name = 'test pattern'): Pattern {
  const { positions, triangles } = mesh;
  return { name, positions, triangles, unit: { name: 'mm', from: 'caller' }, findings: [] };
}

/** Builds a mesh from corners and triangles given one at a time. */
export class MeshBuilder {
  readonly #positions: number[] = [];
  readonly #triangles: number[] = [];

  corner(x: number, y: number, z: number): number {
    this.#positions.push(x, y, z);
    return this.#positions.length / 3 - 1;
  }

  triangle(a: number, b: number, c: number): void {
    this.#triangles.push(a, b, c);
  }

  quad(a: number, b: number, c: number, d: number): void {
    this.#triangles.push(a, b, c, a, c, d);
  }

  build(): Mesh {
    return { positions: Float64Array.from(this.#positions), triangles: Uint32Array.from(this.#triangles) };
  }
}

/** Several meshes in one; corners are not shared between them. */
export function merge(...meshes: readonly Mesh[]): Mesh {
  const build = new MeshBuilder();
  for (const { positions, triangles } of meshes) {
    let first = 0;
    for (let i = 0; i < positions.length; i += 3) {
      const corner = build.corner(positions[i], positions[i + 1], positions[i + 2]);
      if (i === 0) first = corner;
    }
    for (let t = 0; t < triangles.length; t += 3) {
      build.triangle(first + triangles[t], first + triangles[t + 1], first + triangles[t + 2]);
    }
  }
  return build.build();
}

/** Signed volume by the divergence theorem, about the first corner. */
export function volumeOf({ positions: p, triangles: t }: Mesh): number {
  let six = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const at = (corner: number, axis: number): number => p[corner + axis] - p[axis];
    six +=
      at(a, 0) * (at(b, 1) * at(c, 2) - at(b, 2) * at(c, 1)) +
      at(a, 1) * (at(b, 2) * at(c, 0) - at(b, 0) * at(c, 2)) +
      at(a, 2) * (at(b, 0) * at(c, 1) - at(b, 1) * at(c, 0));
  }
  return six / 6;
}

/** Sum of the triangles' areas. */
export function areaOf({ positions: p, triangles: t }: Mesh): number {
  let twice = 0;
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [3 * t[i], 3 * t[i + 1], 3 * t[i + 2]];
    const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    twice += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]);
  }
  return twice / 2;
}

/** Lowest and highest corner coordinates. */
export function boundsOf({ positions }: Mesh): { min: number[]; max: number[] } {
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    min[i % 3] = Math.min(min[i % 3], positions[i]);
    max[i % 3] = Math.max(max[i % 3], positions[i]);
  }
  return { min, max };
}

/**
 * How many edges are run through more often one way than the other (0 for a closed, consistently turned mesh, also where
 * four faces meet in one edge), and how many edges have more than two faces.
 */
export function edgesOf({ positions, triangles }: Mesh): { unbalanced: number; crowded: number; degenerate: number } {
  const corners = positions.length / 3;
  const balance = new Map<number, { way: number; faces: number }>();
  let degenerate = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const corner = [triangles[t], triangles[t + 1], triangles[t + 2]];
    if (new Set(corner).size < 3) degenerate++;
    for (let k = 0; k < 3; k++) {
      const [a, b] = [corner[k], corner[(k + 1) % 3]];
      const key = Math.min(a, b) * corners + Math.max(a, b);
      const edge = balance.get(key) ?? { way: 0, faces: 0 };
      edge.way += a < b ? 1 : -1;
      edge.faces += 1;
      balance.set(key, edge);
    }
  }
  let unbalanced = 0;
  let crowded = 0;
  for (const { way, faces } of balance.values()) {
    if (way !== 0) unbalanced++;
    if (faces > 2) crowded++;
  }
  return { unbalanced, crowded, degenerate };
}
