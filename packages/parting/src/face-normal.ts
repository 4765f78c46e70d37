/** The normal of one face, as everything that looks at faces needs it. */

/**
 * Writes a face's normal, as long as twice its area, to the first three places of `out`, and the square of its longest edge
 * to the fourth.
 *
 * @returns Twice its area. No allocation.
 */
export function faceNormal(positions: Float64Array, triangles: Uint32Array, face: number, out: Float64Array): number {
  const a = triangles[3 * face] * 3;
  const b = triangles[3 * face + 1] * 3;
  const c = triangles[3 * face + 2] * 3;
  const ex = positions[b] - positions[a];
  const ey = positions[b + 1] - positions[a + 1];
  const ez = positions[b + 2] - positions[a + 2];
  const fx = positions[c] - positions[a];
  const fy = positions[c + 1] - positions[a + 1];
  const fz = positions[c + 2] - positions[a + 2];
  const nx = ey * fz - ez * fy;
  const ny = ez * fx - ex * fz;
  const nz = ex * fy - ey * fx;
  const gx = fx - ex;
  const gy = fy - ey;
  const gz = fz - ez;
  out[0] = nx;
  out[1] = ny;
  out[2] = nz;
  out[3] = Math.max(ex * ex + ey * ey + ez * ez, fx * fx + fy * fy + fz * fz, gx * gx + gy * gy + gz * gz);
  return Math.sqrt(nx * nx + ny * ny + nz * nz);
}
