/** How rough a scan is: what is left of the surface when its local curvature is taken off. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

/** Corners looked at; more would not change a median much. */
const SAMPLES = 1500;
/** Neighbours in a fit; six unknowns need a good many more. */
const FEWEST = 10;
const MOST = 24;

/**
 * The median residual of quadratic fits to the neighbours of up to 1,500 corners, mm: about the scatter of a scan's
 * points. 0 for a drawn model, whose residuals are not alike; `undefined` for one too coarse to tell (fewer than 100 usable neighbourhoods).
 */
export function estimateNoise(positions: Float64Array, triangles: Uint32Array, edges: EdgeTable): number | undefined {
  const corners = positions.length / 3;
  const { starts, neighbours } = listNeighbours(triangles, corners, edges);
  const stride = Math.max(1, Math.floor(corners / SAMPLES));
  const residuals: number[] = [];
  for (let corner = 0; corner < corners; corner += stride) {
    const ring = twoRings(corner, starts, neighbours);
    if (ring.length < FEWEST) continue;
    const residual = residualOfFit(positions, corner, ring);
    if (residual !== undefined) residuals.push(residual);
  }
  if (residuals.length < 100) return undefined;
  residuals.sort((a, b) => a - b);
  const median = residuals[residuals.length >> 1];
  // A drawn model has flats (no residual at all) and edges (a large one); a scan scatters alike everywhere.
  const alike = residuals[residuals.length >> 2] > 0.25 * median;
  return alike ? median : 0;
}

function listNeighbours(
  triangles: Uint32Array,
  corners: number,
  edges: EdgeTable,
): { starts: Uint32Array; neighbours: Uint32Array } {
  const starts = new Uint32Array(corners + 1);
  for (let e = 0; e < edges.count; e++) {
    const h = edges.halfEdges[edges.starts[e]];
    starts[triangles[h] + 1]++;
    starts[triangles[nextHalfEdge(h)] + 1]++;
  }
  for (let i = 0; i < corners; i++) starts[i + 1] += starts[i];
  const fill = starts.slice(0, corners);
  const neighbours = new Uint32Array(edges.count * 2);
  for (let e = 0; e < edges.count; e++) {
    const h = edges.halfEdges[edges.starts[e]];
    const a = triangles[h];
    const b = triangles[nextHalfEdge(h)];
    neighbours[fill[a]++] = b;
    neighbours[fill[b]++] = a;
  }
  return { starts, neighbours };
}

function twoRings(corner: number, starts: Uint32Array, neighbours: Uint32Array): number[] {
  const seen = new Set<number>([corner]);
  const first = neighbours.subarray(starts[corner], starts[corner + 1]);
  for (const near of first) seen.add(near);
  for (const near of first) {
    if (seen.size > MOST) break;
    for (const far of neighbours.subarray(starts[near], starts[near + 1])) seen.add(far);
  }
  return [...seen].slice(0, MOST);
}

/** Root of the residual's mean square with six unknowns taken off; `undefined` where the points lie along a line. */
function residualOfFit(positions: Float64Array, corner: number, ring: readonly number[]): number | undefined {
  const o = corner * 3;
  const points = ring.map((i) => [0, 1, 2].map((k) => positions[i * 3 + k] - positions[o + k]));
  const scale = Math.max(...points.map((p) => Math.hypot(p[0], p[1], p[2])));
  if (!(scale > 0)) return undefined;
  const normal = flattestDirection(points);
  const helper = Math.abs(normal[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = unit(crossed(helper, normal));
  const v = crossed(normal, u);
  const along = (p: readonly number[], d: readonly number[]): number =>
    (p[0] * d[0] + p[1] * d[1] + p[2] * d[2]) / scale;
  const rows = points.map((p) => {
    const x = along(p, u);
    const y = along(p, v);
    return { terms: [1, x, y, x * x, x * y, y * y], height: along(p, normal) };
  });
  const system = Array.from({ length: 6 }, (_, i) => [
    ...Array.from({ length: 6 }, (_, j) => rows.reduce((sum, row) => sum + row.terms[i] * row.terms[j], 0)),
    rows.reduce((sum, row) => sum + row.terms[i] * row.height, 0),
  ]);
  const solution = solve(system);
  if (!solution) return undefined;
  let square = 0;
  for (const row of rows) square += (row.height - row.terms.reduce((sum, term, i) => sum + term * solution[i], 0)) ** 2;
  return Math.sqrt(square / (rows.length - 6)) * scale;
}

/** The direction in which the points spread least, by inverse iteration on their scatter. */
function flattestDirection(points: readonly (readonly number[])[]): number[] {
  const mean = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k], 0) / points.length);
  const scatter = [0, 1, 2].map((i) =>
    [0, 1, 2].map((j) => points.reduce((sum, p) => sum + (p[i] - mean[i]) * (p[j] - mean[j]), 0)),
  );
  const lift = (scatter[0][0] + scatter[1][1] + scatter[2][2]) * 1e-9;
  let direction = [0.577, 0.611, 0.541];
  for (let turn = 0; turn < 12; turn++) {
    const next = solve(scatter.map((row, i) => [...row.map((s, j) => s + (i === j ? lift : 0)), direction[i]]));
    if (!next) break;
    direction = unit(next);
  }
  return direction;
}

/** Gaussian elimination with pivots; the last column is the right side. */
function solve(rows: number[][]): number[] | undefined {
  const n = rows.length;
  const m = rows.map((row) => row.slice());
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(m[r][i]) > Math.abs(m[pivot][i])) pivot = r;
    if (!(Math.abs(m[pivot][i]) > 1e-12)) return undefined;
    [m[i], m[pivot]] = [m[pivot], m[i]];
    for (let r = i + 1; r < n; r++) {
      const factor = m[r][i] / m[i][i];
      for (let c = i; c <= n; c++) m[r][c] -= factor * m[i][c];
    }
  }
  const x = Array.from({ length: n }, () => 0);
  for (let i = n - 1; i >= 0; i--) {
    x[i] = m[i][n];
    for (let c = i + 1; c < n; c++) x[i] -= m[i][c] * x[c];
    x[i] /= m[i][i];
  }
  return x;
}

const crossed = (a: readonly number[], b: readonly number[]): number[] => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: readonly number[]): number[] => {
  const size = Math.hypot(a[0], a[1], a[2]) || 1;
  return [a[0] / size, a[1] / size, a[2] / size];
};
