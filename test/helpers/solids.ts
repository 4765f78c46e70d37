/** Boxes, balls and bars as closed meshes, turned outwards. */
import { MeshBuilder, type Mesh, type Point } from './mesh.js';

/** A box between two corners: 8 corners, 12 triangles. */
export function box(min: Point = [0, 0, 0], max: Point = [1, 1, 1]): Mesh {
  const build = new MeshBuilder();
  for (let i = 0; i < 8; i++) build.corner((i & 1 ? max : min)[0], (i & 2 ? max : min)[1], (i & 4 ? max : min)[2]);
  build.quad(0, 2, 3, 1);
  build.quad(4, 5, 7, 6);
  build.quad(0, 1, 5, 4);
  build.quad(2, 6, 7, 3);
  build.quad(0, 4, 6, 2);
  build.quad(1, 3, 7, 5);
  return build.build();
}

/** The regular tetrahedron on four corners of the cube [-1, 1]³. Volume 8/3. */
export function tetrahedron(): Mesh {
  return {
    positions: Float64Array.of(1, 1, 1, 1, -1, -1, -1, 1, -1, -1, -1, 1),
    triangles: Uint32Array.of(0, 1, 2, 0, 3, 1, 0, 2, 3, 1, 3, 2),
  };
}

/** Corner numbers of the icosahedron's 20 faces, for corners in the order in which {@link sphere} makes them. */
const ICOSAHEDRON: readonly number[] = [
  0, 11, 5, 0, 5, 1, 0, 1, 7, 0, 7, 10, 0, 10, 11, 1, 5, 9, 5, 11, 4, 11, 10, 2, 10, 7, 6, 7, 1, 8, 3, 9, 4, 3, 4, 2, 3,
  2, 6, 3, 6, 8, 3, 8, 9, 4, 9, 5, 2, 4, 11, 6, 2, 10, 8, 6, 7, 9, 8, 1,
];
const SIGNS = [
  [-1, 1],
  [1, 1],
  [-1, -1],
  [1, -1],
] as const;

/** A sphere from an icosahedron cut in four `subdivisions` times; corners lie on the sphere. 20·4^subdivisions faces. */
export function sphere(radius: number, subdivisions = 3): Mesh {
  const g = (1 + Math.sqrt(5)) / 2;
  let faces: readonly number[] = ICOSAHEDRON;
  const build = new MeshBuilder();
  const points: Point[] = [];
  const onSphere = (x: number, y: number, z: number): number => {
    const k = radius / Math.hypot(x, y, z);
    points.push([x * k, y * k, z * k]);
    return build.corner(x * k, y * k, z * k);
  };
  for (const [short, long] of SIGNS) onSphere(short, long * g, 0);
  for (const [short, long] of SIGNS) onSphere(0, short, long * g);
  for (const [short, long] of SIGNS) onSphere(long * g, 0, short);
  for (let pass = 0; pass < subdivisions; pass++) {
    const middles = new Map<string, number>();
    const middle = (a: number, b: number): number => {
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      const known = middles.get(key);
      if (known !== undefined) return known;
      const [p, q] = [points[a], points[b]];
      const made = onSphere(p[0] + q[0], p[1] + q[1], p[2] + q[2]);
      middles.set(key, made);
      return made;
    };
    const finer: number[] = [];
    for (let t = 0; t < faces.length; t += 3) {
      const [a, b, c] = faces.slice(t, t + 3);
      const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
      finer.push(a, ab, ca, b, bc, ab, c, ca, bc, ab, bc, ca);
    }
    faces = finer;
  }
  for (let t = 0; t < faces.length; t += 3) build.triangle(faces[t], faces[t + 1], faces[t + 2]);
  return build.build();
}

/**
 * A round bar of radius `r` along a closed curve. `at` and `beside` are functions of a share of the way round, 0–1:
 * the point, and a direction that is never along the curve and returns to itself.
 */
export function tubeAlong(
  at: (s: number) => Point,
  beside: (s: number) => Point,
  r: number,
  nu: number,
  nv: number,
): Mesh {
  const build = new MeshBuilder();
  for (let i = 0; i < nu; i++) {
    const [p, q, o] = [at(i / nu), at((i + 1e-4) / nu), beside(i / nu)];
    const t = normal([q[0] - p[0], q[1] - p[1], q[2] - p[2]]);
    const v = normal(crossed(t, o));
    const u = crossed(v, t);
    for (let j = 0; j < nv; j++) {
      const [c, s] = [r * Math.cos((2 * Math.PI * j) / nv), r * Math.sin((2 * Math.PI * j) / nv)];
      build.corner(p[0] + c * u[0] + s * v[0], p[1] + c * u[1] + s * v[1], p[2] + c * u[2] + s * v[2]);
    }
  }
  for (let i = 0; i < nu; i++) {
    for (let j = 0; j < nv; j++) {
      const [i2, j2] = [(i + 1) % nu, (j + 1) % nv];
      build.quad(i * nv + j, i * nv + j2, i2 * nv + j2, i2 * nv + j);
    }
  }
  return build.build();
}

const crossed = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const normal = (a: Point): Point => {
  const size = Math.hypot(...a);
  return [a[0] / size, a[1] / size, a[2] / size];
};
