/**
 * How rough a scan is: what is left of the surface when its local curvature is taken off. A quadratic is fitted to the two
 * rings of corners round a corner, and the root of its residual is the scatter along the normal; the median over corners is
 * taken. Corners near an edge of the part bring large residuals, which a median does not mind, and very rough scans need no
 * telling of edges from noise, as differences between neighbours would. A drawn model can be all edges; it is known by its
 * flats, whose triangles lie in one plane to the last digits, as no scan's do.
 */
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
 * Cost: two passes over the triangles and some 1,500 small fits: about 10 ms for 100,000 triangles. Deterministic.
 *
 * @throws OddsideError `bad-pattern`.
 */
export function estimateNoise(pattern: Pattern): SurfaceNoise {
  checkPattern(pattern);
  const { sigma, corners } = noiseOf(pattern.positions, pattern.triangles);
  return { sigma: sigma ?? 0, corners };
}

/** The same of bare arrays; `sigma` is `undefined` for a mesh too coarse to tell. */
export function noiseOf(
  positions: Float64Array,
  triangles: Uint32Array,
): { sigma: number | undefined; corners: number } {
  const corners = positions.length / 3;
  if (corners < LEAST_FITS) return { sigma: undefined, corners: 0 };
  const around = facesAround(triangles, corners);
  const stride = Math.max(1, Math.floor(corners / SAMPLES));
  if (looksDrawn(positions, triangles, around, stride)) return { sigma: 0, corners: 0 };
  const fit = makeFit(positions);
  const residuals: number[] = [];
  for (let corner = 0; corner < corners; corner += stride) {
    const ring = twoRings(corner, triangles, around);
    if (ring.length < FEWEST) continue;
    const residual = fit(corner, ring);
    if (residual !== undefined) residuals.push(residual);
  }
  if (residuals.length < LEAST_FITS) return { sigma: undefined, corners: residuals.length };
  residuals.sort((a, b) => a - b);
  const median = residuals[residuals.length >> 1];
  // A drawn model has flats (no residual at all) and edges (a large one); a scan scatters alike everywhere.
  const alike = residuals[residuals.length >> 2] > 0.25 * median;
  return { sigma: alike ? median : 0, corners: residuals.length };
}

/** The triangles round each corner: those of corner `c` are `faces[starts[c]]` up to, not including, `faces[starts[c + 1]]`. */
interface FacesAround {
  readonly starts: Uint32Array;
  readonly faces: Uint32Array;
}

function facesAround(triangles: Uint32Array, corners: number): FacesAround {
  const starts = new Uint32Array(corners + 1);
  for (let h = 0; h < triangles.length; h++) starts[triangles[h] + 1]++;
  for (let i = 0; i < corners; i++) starts[i + 1] += starts[i];
  const fill = starts.slice(0, corners);
  const faces = new Uint32Array(triangles.length);
  for (let t = 0, face = 0; t < triangles.length; t += 3, face++) {
    faces[fill[triangles[t]]++] = face;
    faces[fill[triangles[t + 1]]++] = face;
    faces[fill[triangles[t + 2]]++] = face;
  }
  return { starts, faces };
}

/** Whether too many edges that start at the corners looked at have their two triangles in one plane. */
function looksDrawn(
  positions: Float64Array,
  triangles: Uint32Array,
  { starts, faces }: FacesAround,
  stride: number,
): boolean {
  const one = new Float64Array(3);
  const two = new Float64Array(3);
  let edges = 0;
  let flat = 0;
  for (let corner = 0; corner + 1 < starts.length; corner += stride) {
    for (let k = starts[corner]; k < starts[corner + 1]; k++) {
      const face = faces[k];
      const far = following(triangles, face, corner);
      // The triangle on the other side runs along the same edge the other way.
      let other = -1;
      for (let j = starts[corner]; j < starts[corner + 1]; j++) {
        if (j !== k && following(triangles, faces[j], far) === corner) other = faces[j];
      }
      if (other < 0) continue;
      edges++;
      normalOf(positions, triangles, face, one);
      normalOf(positions, triangles, other, two);
      const x = one[1] * two[2] - one[2] * two[1];
      const y = one[2] * two[0] - one[0] * two[2];
      const z = one[0] * two[1] - one[1] * two[0];
      const sizes = squareOf(one[0], one[1], one[2]) * squareOf(two[0], two[1], two[2]);
      if (squareOf(x, y, z) <= FLAT * FLAT * sizes) flat++;
    }
  }
  return flat > FLAT_SHARE * edges;
}

const squareOf = (x: number, y: number, z: number): number => x * x + y * y + z * z;

/** The corner of a triangle that follows one of its corners. */
function following(triangles: Uint32Array, face: number, corner: number): number {
  const t = 3 * face;
  if (triangles[t] === corner) return triangles[t + 1];
  return triangles[t + 1] === corner ? triangles[t + 2] : triangles[t];
}

function normalOf(p: Float64Array, triangles: Uint32Array, face: number, out: Float64Array): void {
  const a = 3 * triangles[3 * face];
  const b = 3 * triangles[3 * face + 1];
  const c = 3 * triangles[3 * face + 2];
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  out[0] = uy * vz - uz * vy;
  out[1] = uz * vx - ux * vz;
  out[2] = ux * vy - uy * vx;
}

/** A corner, its neighbours, then theirs, each in the order of their numbers, so that no order of triangles shows. */
function twoRings(corner: number, triangles: Uint32Array, around: FacesAround): number[] {
  const first = neighboursOf(corner, triangles, around);
  // So few that looking through them beats a set.
  const ring = [corner, ...first].slice(0, MOST);
  for (const near of first) {
    if (ring.length === MOST) break;
    for (const far of neighboursOf(near, triangles, around)) {
      if (ring.length < MOST && !ring.includes(far)) ring.push(far);
    }
  }
  return ring;
}

function neighboursOf(corner: number, triangles: Uint32Array, { starts, faces }: FacesAround): number[] {
  const found: number[] = [];
  for (let k = starts[corner]; k < starts[corner + 1]; k++) {
    for (let h = 3 * faces[k]; h < 3 * faces[k] + 3; h++) {
      if (triangles[h] !== corner && !found.includes(triangles[h])) found.push(triangles[h]);
    }
  }
  return found.sort((a, b) => a - b);
}

/** Unknowns of the quadratic. */
const TERMS = 6;

/**
 * What fits: root of the residual's mean square with the unknowns taken off; `undefined` where the points lie along a line.
 * Its arrays are made once for all corners.
 */
function makeFit(positions: Float64Array): (corner: number, ring: readonly number[]) => number | undefined {
  const points = new Float64Array(3 * MOST);
  const terms = new Float64Array(TERMS * MOST);
  const heights = new Float64Array(MOST);
  const scatter = new Float64Array(3 * 4);
  const system = new Float64Array(TERMS * (TERMS + 1));
  const solution = new Float64Array(TERMS);
  return (corner, ring) => {
    const count = ring.length;
    let size = 0;
    for (let i = 0; i < count; i++) {
      let square = 0;
      for (let k = 0; k < 3; k++) {
        const away = positions[ring[i] * 3 + k] - positions[corner * 3 + k];
        points[3 * i + k] = away;
        square += away * away;
      }
      size = Math.max(size, Math.sqrt(square));
    }
    if (!(size > 0)) return undefined;
    const normal = flattestDirection(points, count, scatter, solution);
    const u = unit(crossed(Math.abs(normal[0]) < 0.6 ? [1, 0, 0] : [0, 1, 0], normal));
    const v = crossed(normal, u);
    const along = (i: number, d: readonly number[]): number =>
      (points[3 * i] * d[0] + points[3 * i + 1] * d[1] + points[3 * i + 2] * d[2]) / size;
    system.fill(0);
    for (let i = 0; i < count; i++) {
      const x = along(i, u);
      const y = along(i, v);
      const height = along(i, normal);
      const at = TERMS * i;
      terms[at] = 1;
      terms[at + 1] = x;
      terms[at + 2] = y;
      terms[at + 3] = x * x;
      terms[at + 4] = x * y;
      terms[at + 5] = y * y;
      heights[i] = height;
      for (let r = 0; r < TERMS; r++) {
        const row = r * (TERMS + 1);
        for (let c = r; c < TERMS; c++) system[row + c] += terms[at + r] * terms[at + c];
        system[row + TERMS] += terms[at + r] * height;
      }
    }
    for (let r = 1; r < TERMS; r++) {
      for (let c = 0; c < r; c++) system[r * (TERMS + 1) + c] = system[c * (TERMS + 1) + r];
    }
    if (!solve(system, TERMS, solution)) return undefined;
    let square = 0;
    for (let i = 0; i < count; i++) {
      let fitted = 0;
      for (let k = 0; k < TERMS; k++) fitted += terms[TERMS * i + k] * solution[k];
      square += (heights[i] - fitted) ** 2;
    }
    return Math.sqrt(square / (count - TERMS)) * size;
  };
}

/** The direction in which the points spread least, by inverse iteration on their scatter. */
function flattestDirection(
  points: Float64Array,
  count: number,
  system: Float64Array,
  solution: Float64Array,
): readonly number[] {
  const mean = [0, 0, 0];
  for (let i = 0; i < count; i++) for (let k = 0; k < 3; k++) mean[k] += points[3 * i + k] / count;
  const scatter = new Float64Array(9);
  for (let i = 0; i < count; i++) {
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) scatter[3 * r + c] += (points[3 * i + r] - mean[r]) * (points[3 * i + c] - mean[c]);
    }
  }
  const lift = (scatter[0] + scatter[4] + scatter[8]) * 1e-9;
  let direction = [0.577, 0.611, 0.541];
  for (let turn = 0; turn < 12; turn++) {
    for (let r = 0; r < 3; r++) {
      for (let c = 0; c < 3; c++) system[4 * r + c] = scatter[3 * r + c] + (r === c ? lift : 0);
      system[4 * r + 3] = direction[r];
    }
    if (!solve(system, 3, solution)) break;
    direction = unit([solution[0], solution[1], solution[2]]);
  }
  return direction;
}

/** Gaussian elimination with pivots, in place; `n` rows of `n + 1` numbers, the last the right side. False where it is singular. */
function solve(rows: Float64Array, n: number, solution: Float64Array): boolean {
  const width = n + 1;
  for (let i = 0; i < n; i++) {
    let pivot = i;
    for (let r = i + 1; r < n; r++) if (Math.abs(rows[r * width + i]) > Math.abs(rows[pivot * width + i])) pivot = r;
    if (!(Math.abs(rows[pivot * width + i]) > 1e-12)) return false;
    for (let c = 0; c < width; c++) {
      const kept = rows[i * width + c];
      rows[i * width + c] = rows[pivot * width + c];
      rows[pivot * width + c] = kept;
    }
    for (let r = i + 1; r < n; r++) {
      const factor = rows[r * width + i] / rows[i * width + i];
      for (let c = i; c < width; c++) rows[r * width + c] -= factor * rows[i * width + c];
    }
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i * width + n];
    for (let c = i + 1; c < n; c++) sum -= rows[i * width + c] * solution[c];
    solution[i] = sum / rows[i * width + i];
  }
  return true;
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
