/**
 * How rough a scan is: what is left of the surface when its local curvature is taken off. A quadratic is fitted to the two
 * rings of corners round a corner, and the root of its residual is the scatter along the normal; the median over corners is
 * taken. Corners near an edge of the part bring large residuals, which a median does not mind, and very rough scans need no
 * telling of edges from noise, as differences between neighbours would. A drawn model can be all edges; it is known by its
 * flats, whose triangles lie in one plane to the last digits, as no scan's do.
 */
import { listEdges, nextHalfEdge, type EdgeTable } from './list-edges.js';
import { checkPattern } from './check-pattern.js';
import type { Pattern } from './pattern.js';

/** Corners looked at; more would not change a median much. */
const SAMPLES = 1500;
/** Neighbours in a fit; six unknowns need a good many more. */
const FEWEST = 10;
const MOST = 24;
/** Fewer usable neighbourhoods than this say nothing. */
const LEAST_FITS = 100;

/** Neighbours that lean less than this against each other, radians, lie in one plane but for their file's rounding. */
const FLAT = 1e-4;
/** A mesh with more such edges than this is drawn, not scanned. */
const FLAT_SHARE = 0.2;

/** Noise of a surface. */
export interface SurfaceNoise {
  /** Standard error of a corner along its normal, mm; 0 for a drawn model, and where it could not be measured. */
  readonly sigma: number;
  /** Corners whose neighbourhoods it was read from; fewer than 100 are too few. */
  readonly corners: number;
}

/**
 * Estimates the noise of a pattern's surface. Right to about 10 % on a scan with ten corners or more across each of its
 * features; where there are fewer, bend passes for noise and it is too large.
 *
 * Cost: one sort of the edges and some 1,500 small fits: about 20 ms for 100,000 triangles. Deterministic.
 *
 * @throws OddsideError `bad-pattern`.
 */
export function estimateNoise(pattern: Pattern): SurfaceNoise {
  checkPattern(pattern);
  const { positions, triangles } = pattern;
  const { sigma, corners } = noiseOf(positions, triangles, listEdges(triangles, positions.length / 3));
  return { sigma: sigma ?? 0, corners };
}

/** The same from edges that are already listed; `sigma` is `undefined` for a mesh too coarse to tell. */
export function noiseOf(
  positions: Float64Array,
  triangles: Uint32Array,
  edges: EdgeTable,
): { sigma: number | undefined; corners: number } {
  const corners = positions.length / 3;
  if (corners < LEAST_FITS) return { sigma: undefined, corners: 0 };
  if (flatEdges(positions, triangles, edges) > FLAT_SHARE * edges.count) return { sigma: 0, corners: 0 };
  const { starts, neighbours } = listNeighbours(triangles, corners, edges);
  const stride = Math.max(1, Math.floor(corners / SAMPLES));
  const residuals: number[] = [];
  for (let corner = 0; corner < corners; corner += stride) {
    const ring = twoRings(corner, starts, neighbours);
    if (ring.length < FEWEST) continue;
    const residual = residualOfFit(positions, corner, ring);
    if (residual !== undefined) residuals.push(residual);
  }
  if (residuals.length < LEAST_FITS) return { sigma: undefined, corners: residuals.length };
  residuals.sort((a, b) => a - b);
  const median = residuals[residuals.length >> 1];
  // A drawn model has flats (no residual at all) and edges (a large one); a scan scatters alike everywhere.
  const alike = residuals[residuals.length >> 2] > 0.25 * median;
  return { sigma: alike ? median : 0, corners: residuals.length };
}

/** Edges whose two triangles lie in one plane, as far as a stride of them tells. */
function flatEdges(positions: Float64Array, triangles: Uint32Array, edges: EdgeTable): number {
  const stride = Math.max(1, Math.floor(edges.count / (4 * SAMPLES)));
  let flat = 0;
  for (let e = 0; e < edges.count; e += stride) {
    if (edges.starts[e + 1] - edges.starts[e] !== 2) continue;
    const [s, t] = [0, 1].map((k) =>
      normalOf(positions, triangles, Math.floor(edges.halfEdges[edges.starts[e] + k] / 3)),
    );
    const across = crossed(s, t);
    const sizes = Math.hypot(s[0], s[1], s[2]) * Math.hypot(t[0], t[1], t[2]);
    if (Math.hypot(across[0], across[1], across[2]) <= FLAT * sizes) flat += stride;
  }
  return flat;
}

function normalOf(positions: Float64Array, triangles: Uint32Array, face: number): number[] {
  const at = (k: number): number[] => [0, 1, 2].map((j) => positions[3 * triangles[3 * face + k] + j]);
  const [a, b, c] = [at(0), at(1), at(2)];
  return crossed(
    b.map((x, j) => x - a[j]),
    c.map((x, j) => x - a[j]),
  );
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
