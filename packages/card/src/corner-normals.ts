/** Normals for shading: smooth over a scan, sharp at the edges of a machined part. */

/** Edges sharper than this stay sharp. */
const CREASE_COSINE = Math.cos((38 * Math.PI) / 180);

/**
 * One unit normal per triangle corner, 9 values a triangle: the corner's mean normal where the triangle agrees with it to
 * within 38°, the triangle's own otherwise. Degenerate triangles get zeros.
 */
export function cornerNormals(positions: Float64Array, triangles: Uint32Array): Float32Array {
  const mean = new Float64Array(positions.length);
  const own = new Float64Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const ex = positions[b] - positions[a];
    const ey = positions[b + 1] - positions[a + 1];
    const ez = positions[b + 2] - positions[a + 2];
    const fx = positions[c] - positions[a];
    const fy = positions[c + 1] - positions[a + 1];
    const fz = positions[c + 2] - positions[a + 2];
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    const nz = ex * fy - ey * fx;
    own[t] = nx;
    own[t + 1] = ny;
    own[t + 2] = nz;
    for (const corner of [a, b, c]) {
      mean[corner] += nx;
      mean[corner + 1] += ny;
      mean[corner + 2] += nz;
    }
  }
  const normals = new Float32Array(triangles.length * 3);
  for (let t = 0; t < triangles.length; t += 3) {
    const size = Math.hypot(own[t], own[t + 1], own[t + 2]);
    if (!(size > 0)) continue;
    const nx = own[t] / size;
    const ny = own[t + 1] / size;
    const nz = own[t + 2] / size;
    for (let k = 0; k < 3; k++) {
      const v = triangles[t + k] * 3;
      const length = Math.hypot(mean[v], mean[v + 1], mean[v + 2]);
      const agrees = length > 0 && (mean[v] * nx + mean[v + 1] * ny + mean[v + 2] * nz) / length >= CREASE_COSINE;
      const at = (t + k) * 3;
      normals[at] = agrees ? mean[v] / length : nx;
      normals[at + 1] = agrees ? mean[v + 1] / length : ny;
      normals[at + 2] = agrees ? mean[v + 2] / length : nz;
    }
  }
  return normals;
}
