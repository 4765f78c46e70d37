/** The same mesh moved, scaled, shuffled or spoilt. Every function returns a new mesh. */
import type { Mesh, Point } from './mesh.js';
import { seededRandom } from './random.js';

function mapCorners(mesh: Mesh, move: (point: Point) => Point): Mesh {
  const positions = new Float64Array(mesh.positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    positions.set(move([mesh.positions[i], mesh.positions[i + 1], mesh.positions[i + 2]]), i);
  }
  return { positions, triangles: mesh.triangles.slice() };
}

/** One point turned about an axis through the origin, degrees, right-handed. Quarter turns about x, y, z are exact. */
export function turnPoint(point: Point, axis: Point, deg: number): Point {
  const size = Math.hypot(...axis);
  const [x, y, z] = [axis[0] / size, axis[1] / size, axis[2] / size];
  const quarter = deg % 90 === 0 ? (((deg / 90) % 4) + 4) % 4 : -1;
  const cos = quarter < 0 ? Math.cos((deg * Math.PI) / 180) : [1, 0, -1, 0][quarter];
  const sin = quarter < 0 ? Math.sin((deg * Math.PI) / 180) : [0, 1, 0, -1][quarter];
  const along = (x * point[0] + y * point[1] + z * point[2]) * (1 - cos);
  return [
    point[0] * cos + (y * point[2] - z * point[1]) * sin + x * along,
    point[1] * cos + (z * point[0] - x * point[2]) * sin + y * along,
    point[2] * cos + (x * point[1] - y * point[0]) * sin + z * along,
  ];
}

/** The mesh turned about an axis through the origin, degrees. */
export function rotate(mesh: Mesh, axis: Point, deg: number): Mesh {
  return mapCorners(mesh, (point) => turnPoint(point, axis, deg));
}

export function translate(mesh: Mesh, by: Point): Mesh {
  return mapCorners(mesh, (p) => [p[0] + by[0], p[1] + by[1], p[2] + by[2]]);
}

/** One factor, or one for each axis (all positive, so that outside stays outside). */
export function scale(mesh: Mesh, factor: number | Point): Mesh {
  const [x, y, z] = typeof factor === 'number' ? [factor, factor, factor] : factor;
  if (!(x > 0 && y > 0 && z > 0)) throw new Error('scale takes positive factors');
  return mapCorners(mesh, (p) => [p[0] * x, p[1] * y, p[2] * z]);
}

/** The same triangles in another order, each starting at another of its corners. */
export function shuffleTriangles(mesh: Mesh, seed: number): Mesh {
  const random = seededRandom(seed);
  const order = Array.from({ length: mesh.triangles.length / 3 }, (_, i) => i);
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j], order[i]];
  }
  const triangles = new Uint32Array(mesh.triangles.length);
  order.forEach((from, to) => {
    const start = Math.floor(random() * 3);
    for (let k = 0; k < 3; k++) triangles[3 * to + k] = mesh.triangles[3 * from + ((start + k) % 3)];
  });
  return { positions: mesh.positions.slice(), triangles };
}

/** Inside out: every triangle turned over. */
export function turnOver(mesh: Mesh): Mesh {
  return turnOverSome(mesh, () => true);
}

/** The chosen triangles turned over. */
export function turnOverSome(mesh: Mesh, chosen: (triangle: number) => boolean): Mesh {
  const triangles = mesh.triangles.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    if (chosen(t / 3)) [triangles[t + 1], triangles[t + 2]] = [triangles[t + 2], triangles[t + 1]];
  }
  return { positions: mesh.positions.slice(), triangles };
}

/** Only the chosen triangles, for making holes. Corners stay. */
export function keepTriangles(mesh: Mesh, chosen: (triangle: number) => boolean): Mesh {
  const triangles = mesh.triangles.filter((_, i) => chosen(Math.floor(i / 3)));
  return { positions: mesh.positions.slice(), triangles };
}

/** Every triangle with corners of its own, as an STL file holds them. */
export function unweld(mesh: Mesh): Mesh {
  const positions = new Float64Array(mesh.triangles.length * 3);
  mesh.triangles.forEach((corner, i) => positions.set(mesh.positions.subarray(3 * corner, 3 * corner + 3), 3 * i));
  return { positions, triangles: Uint32Array.from(mesh.triangles, (_, i) => i) };
}
