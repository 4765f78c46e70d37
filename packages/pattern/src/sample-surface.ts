/** Points spread evenly over a surface. */

export interface SurfaceSamples {
  /** n×3, mm. */
  readonly points: Float64Array;
  /** Outward unit normal of the triangle at each, n×3. */
  readonly normals: Float64Array;
  readonly triangleOf: Uint32Array;
  /** Side of the square each point stands for, mm. */
  readonly spacing: number;
}

/**
 * About `wanted` points, by area: walking through the triangles, a point is due whenever so much area has gone by, and
 * large triangles get a regular pattern of points. No randomness: the same mesh gives the same points.
 */
export function sampleSurface(positions: Float64Array, triangles: Uint32Array, wanted: number): SurfaceSamples {
  const count = triangles.length / 3;
  const frames = new Float64Array(count * 4);
  let total = 0;
  for (let t = 0; t < count; t++) {
    const a = triangles[t * 3] * 3;
    const b = triangles[t * 3 + 1] * 3;
    const c = triangles[t * 3 + 2] * 3;
    const ux = positions[b] - positions[a];
    const uy = positions[b + 1] - positions[a + 1];
    const uz = positions[b + 2] - positions[a + 2];
    const vx = positions[c] - positions[a];
    const vy = positions[c + 1] - positions[a + 1];
    const vz = positions[c + 2] - positions[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
    total += size / 2;
    frames[t * 4] = size > 0 ? nx / size : 0;
    frames[t * 4 + 1] = size > 0 ? ny / size : 0;
    frames[t * 4 + 2] = size > 0 ? nz / size : 0;
    frames[t * 4 + 3] = size / 2;
  }
  const each = total / wanted;
  const points: number[] = [];
  const normals: number[] = [];
  const owners: number[] = [];
  let due = each / 2;
  for (let t = 0; t < count; t++) {
    const area = frames[t * 4 + 3];
    if (!(area > 0)) continue;
    due += area;
    const here = Math.min(Math.floor(due / each), wanted);
    due -= here * each;
    for (let i = 0; i < here; i++) {
      // The plastic-number sequence (M. Roberts, from memory) fills a square evenly; folded over, a triangle.
      let u = (0.5 + 0.7548776662466927 * (i + 1)) % 1;
      let v = (0.5 + 0.5698402909980532 * (i + 1)) % 1;
      if (here === 1) u = v = 1 / 3;
      if (u + v > 1) {
        u = 1 - u;
        v = 1 - v;
      }
      for (let k = 0; k < 3; k++) {
        const a = positions[triangles[t * 3] * 3 + k];
        const b = positions[triangles[t * 3 + 1] * 3 + k];
        const c = positions[triangles[t * 3 + 2] * 3 + k];
        points.push(a + u * (b - a) + v * (c - a));
        normals.push(frames[t * 4 + k]);
      }
      owners.push(t);
    }
  }
  return {
    points: Float64Array.from(points),
    normals: Float64Array.from(normals),
    triangleOf: Uint32Array.from(owners),
    spacing: Math.sqrt(each),
  };
}
