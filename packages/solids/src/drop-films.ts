/**
 * Shells with no room in them, taken out of a mesh. Where a filling lies against metal, rounding leaves gaps thinner than
 * the rounding itself: closed shells of two faces back to back, which stand for nothing.
 */
import type { PlainMesh } from './convert-body.js';

/**
 * Takes out the shells that are thinner than a rounding of their corners on average.
 *
 * @param rounding Largest distance by which rounding moved a coordinate, mm.
 * @returns The same mesh where there are none. Cost: two passes over the triangles.
 */
export function dropFilms(mesh: PlainMesh, rounding: number): PlainMesh {
  const { points: p, triangles } = mesh;
  const leader = Uint32Array.from({ length: p.length / 3 }, (_, corner) => corner);
  const leaderOf = (corner: number): number => {
    while (leader[corner] !== corner) corner = leader[corner] = leader[leader[corner]];
    return corner;
  };
  let shells = p.length / 3;
  for (let k = 0; k < triangles.length; k++) {
    const [a, b] = [leaderOf(triangles[k]), leaderOf(triangles[k % 3 === 2 ? k - 2 : k + 1])];
    if (a === b) continue;
    leader[a] = b;
    shells--;
  }
  if (shells === 1) return mesh;
  const volumes = new Float64Array(p.length / 3);
  const areas = new Float64Array(p.length / 3);
  for (let t = 0; t < triangles.length; t += 3) {
    const shell = leaderOf(triangles[t]);
    // From a corner of the shell itself, so that its place does not drown its volume in rounding.
    const [o, a, b, c] = [3 * shell, 3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const [nx, ny, nz] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    volumes[shell] += (nx * (p[a] - p[o]) + ny * (p[a + 1] - p[o + 1]) + nz * (p[a + 2] - p[o + 2])) / 6;
    areas[shell] += Math.sqrt(nx * nx + ny * ny + nz * nz) / 2;
  }
  const isFilm = (corner: number): boolean => {
    const shell = leaderOf(corner);
    return Math.abs(volumes[shell]) <= (rounding * areas[shell]) / 2;
  };
  const numbers = new Int32Array(p.length / 3).fill(-1);
  const kept = new Float32Array(p.length);
  let corners = 0;
  const out = new Uint32Array(triangles.length);
  let used = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    if (isFilm(triangles[t])) continue;
    for (let k = t; k < t + 3; k++) {
      const corner = triangles[k];
      if (numbers[corner] < 0) {
        for (let axis = 0; axis < 3; axis++) kept[3 * corners + axis] = p[3 * corner + axis];
        numbers[corner] = corners++;
      }
      out[used++] = numbers[corner];
    }
  }
  return used === triangles.length ? mesh : { points: kept.slice(0, 3 * corners), triangles: out.slice(0, used) };
}
