/**
 * How far the corners of a scan lie off the true surface. A corner less the mean of its neighbours is bend plus noise; the
 * same difference of those differences loses the bend and keeps the noise. What is left is read off at the median, along
 * the normals, over the corners that are on no edge of the part. On a modelled pattern it comes out as nothing.
 */
import { listEdges, nextHalfEdge, type Pattern } from '@oddside/pattern';

/** Noise of a surface. */
export interface SurfaceNoise {
  /** Standard error of a corner along its normal, mm; 0 where it could not be measured. */
  readonly sigma: number;
  /** Corners it was read from. */
  readonly corners: number;
}

/** Root of the sum of squared weights of the twice-taken difference on six neighbours, times the median of |normal|. */
const GAIN = 1.359 * 0.6745;
/** Edges sharper than this are edges of the part (cosine of 30°; common practice, no source). */
const SMOOTH_COSINE = 0.8660254037844387;
/** Fewer corners than this are the corners of a model, not a scan. */
const LEAST_CORNERS = 200;

/** Estimates the noise. Cost: one sort of the edges and three passes over them, about 0.3 µs a triangle. */
export function estimateNoise(pattern: Pattern): SurfaceNoise {
  const { positions, triangles } = pattern;
  const corners = positions.length / 3;
  const edges = listEdges(triangles, corners);
  const faceNormals = normalsOf(positions, triangles);
  const normals = new Float64Array(corners * 3);
  for (let h = 0; h < triangles.length; h++) {
    const face = h - (h % 3);
    for (let k = 0; k < 3; k++) normals[3 * triangles[h] + k] += faceNormals[face + k];
  }
  const sharp = new Uint8Array(corners);
  const ends = new Uint32Array(edges.count * 2);
  const degree = new Uint16Array(corners);
  for (let e = 0; e < edges.count; e++) {
    const h = edges.halfEdges[edges.starts[e]];
    const a = (ends[2 * e] = triangles[h]);
    const b = (ends[2 * e + 1] = triangles[nextHalfEdge(h)]);
    degree[a]++;
    degree[b]++;
    const paired = edges.starts[e + 1] - edges.starts[e] === 2;
    if (paired && cosineAcross(faceNormals, h, edges.halfEdges[edges.starts[e] + 1]) >= SMOOTH_COSINE) continue;
    sharp[a] = 1;
    sharp[b] = 1;
  }
  const once = lessNeighbours(positions, ends, degree);
  const twice = lessNeighbours(once, ends, degree);
  const left: number[] = [];
  for (let i = 0; i < corners; i++) {
    const size = Math.hypot(normals[3 * i], normals[3 * i + 1], normals[3 * i + 2]);
    if (sharp[i] || degree[i] < 4 || !(size > 0)) continue;
    let along = 0;
    for (let k = 0; k < 3; k++) along += (twice[3 * i + k] * normals[3 * i + k]) / size;
    left.push(Math.abs(along));
  }
  if (left.length < LEAST_CORNERS || left.length < corners / 5) return { sigma: 0, corners: left.length };
  const sorted = Float64Array.from(left).sort();
  return { sigma: sorted[sorted.length >> 1] / GAIN, corners: left.length };
}

/** Each value less the mean of its neighbours'. */
function lessNeighbours(values: Float64Array, ends: Uint32Array, degree: Uint16Array): Float64Array {
  const out = new Float64Array(values.length);
  for (let e = 0; e < ends.length; e += 2) {
    const a = ends[e] * 3;
    const b = ends[e + 1] * 3;
    for (let k = 0; k < 3; k++) {
      out[a + k] += values[b + k];
      out[b + k] += values[a + k];
    }
  }
  for (let i = 0; i < degree.length; i++) {
    const share = degree[i] > 0 ? 1 / degree[i] : 0;
    for (let k = 3 * i; k < 3 * i + 3; k++) out[k] = share > 0 ? values[k] - out[k] * share : 0;
  }
  return out;
}

/** Normals of the faces, as long as twice their area. */
function normalsOf(p: Float64Array, triangles: Uint32Array): Float64Array {
  const normals = new Float64Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t] * 3, triangles[t + 1] * 3, triangles[t + 2] * 3];
    const [ex, ey, ez] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [fx, fy, fz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    normals[t] = ey * fz - ez * fy;
    normals[t + 1] = ez * fx - ex * fz;
    normals[t + 2] = ex * fy - ey * fx;
  }
  return normals;
}

function cosineAcross(normals: Float64Array, h: number, g: number): number {
  const s = h - (h % 3);
  const t = g - (g % 3);
  let sum = 0;
  let ss = 0;
  let tt = 0;
  for (let k = 0; k < 3; k++) {
    sum += normals[s + k] * normals[t + k];
    ss += normals[s + k] ** 2;
    tt += normals[t + k] ** 2;
  }
  return ss > 0 && tt > 0 ? sum / Math.sqrt(ss * tt) : 1;
}
