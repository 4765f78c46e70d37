/** Normals for shading: smooth over a scan, sharp at the edges of a machined part. */

/** Edges sharper than this stay sharp. */
const CREASE_COSINE = Math.cos((38 * Math.PI) / 180);

/** At most so many triangles of one corner are looked at, so that a fan of thousands costs no more than a scan. */
const CROWDED = 48;

/**
 * One unit normal per triangle corner, 9 values a triangle: the mean, by area, of those triangles at the corner that turn
 * from this one by less than 38°. Degenerate triangles get zeros. Cost: about 0.3 µs a triangle.
 */
export function cornerNormals(positions: Float64Array, triangles: Uint32Array): Float32Array {
  const own = areaNormals(positions, triangles);
  const { starts, users } = trianglesAtCorners(positions.length / 3, triangles);
  const normals = new Float32Array(triangles.length * 3);
  const sum = new Float64Array(3);
  for (let t = 0; t < triangles.length; t += 3) {
    const size = Math.hypot(own[t], own[t + 1], own[t + 2]);
    if (!(size > 0)) continue;
    const nx = own[t] / size;
    const ny = own[t + 1] / size;
    const nz = own[t + 2] / size;
    for (let k = 0; k < 3; k++) {
      const corner = triangles[t + k];
      sum.fill(0);
      const end = Math.min(starts[corner + 1], starts[corner] + CROWDED);
      for (let i = starts[corner]; i < end; i++) {
        const u = users[i];
        const along = own[u] * nx + own[u + 1] * ny + own[u + 2] * nz;
        if (along < CREASE_COSINE * Math.hypot(own[u], own[u + 1], own[u + 2])) continue;
        sum[0] += own[u];
        sum[1] += own[u + 1];
        sum[2] += own[u + 2];
      }
      const length = Math.hypot(sum[0], sum[1], sum[2]);
      // Past the first users of a crowded corner none may have agreed, not even this triangle itself.
      const agrees = length > 0;
      const at = (t + k) * 3;
      normals[at] = agrees ? sum[0] / length : nx;
      normals[at + 1] = agrees ? sum[1] / length : ny;
      normals[at + 2] = agrees ? sum[2] / length : nz;
    }
  }
  return normals;
}

/** Twice the area times the unit normal, 3 values a triangle. */
function areaNormals(positions: Float64Array, triangles: Uint32Array): Float64Array {
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
    own[t] = ey * fz - ez * fy;
    own[t + 1] = ez * fx - ex * fz;
    own[t + 2] = ex * fy - ey * fx;
  }
  return own;
}

/** For each corner, the places in `triangles` of the triangles that use it: `users[starts[c]]` to before `starts[c + 1]`. */
function trianglesAtCorners(corners: number, triangles: Uint32Array): { starts: Uint32Array; users: Uint32Array } {
  const starts = new Uint32Array(corners + 2);
  for (const corner of triangles) starts[corner + 2]++;
  for (let i = 2; i < starts.length; i++) starts[i] += starts[i - 1];
  const users = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) users[starts[triangles[i] + 1]++] = i - (i % 3);
  return { starts, users };
}
