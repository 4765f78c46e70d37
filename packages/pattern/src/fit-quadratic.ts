/** A quadratic through the corners round one corner of a surface, and how far they lie off it. */

/** Corners in a fit at most. */
export const MOST_IN_RING = 24;

/** Unknowns of the quadratic. */
const TERMS = 6;

/**
 * What fits the corners of a ring. Its arrays are made once for all corners. A class and not a closure, because the code of a
 * closure is compiled anew for every pattern, and that took longer than the fits.
 */
export class QuadraticFit {
  readonly #positions: Float64Array;
  readonly #ring: Uint32Array;
  readonly #points: Float64Array = new Float64Array(3 * MOST_IN_RING);
  readonly #terms: Float64Array = new Float64Array(TERMS * MOST_IN_RING);
  readonly #heights: Float64Array = new Float64Array(MOST_IN_RING);
  readonly #normal: Float64Array = new Float64Array(3);
  readonly #system: Float64Array = new Float64Array(TERMS * (TERMS + 1));
  readonly #solution: Float64Array = new Float64Array(TERMS);

  /** @param ring Where the corners to fit will stand, the one in question first. */
  constructor(positions: Float64Array, ring: Uint32Array) {
    this.#positions = positions;
    this.#ring = ring;
  }

  /**
   * Fits the first `count` corners of the ring: root of the residual's mean square with the unknowns taken off; `undefined`
   * where the points lie along a line.
   */
  residualOf(count: number): number | undefined {
    const [positions, ring, points, terms] = [this.#positions, this.#ring, this.#points, this.#terms];
    const [heights, normal, system, solution] = [this.#heights, this.#normal, this.#system, this.#solution];
    const corner = ring[0];
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
    flattestDirection(points, count, normal);
    const [nx, ny, nz] = [normal[0], normal[1], normal[2]];
    // Across the normal: square to it and to the axis of the file that it leans on least of x and y.
    const flat = Math.abs(nx) < 0.6;
    const [sx, sy, sz] = flat ? [0, -nz, ny] : [nz, 0, -nx];
    const across = 1 / (Math.sqrt(sx * sx + sy * sy + sz * sz) || 1);
    const [ux, uy, uz] = [sx * across, sy * across, sz * across];
    const [vx, vy, vz] = [ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux];
    system.fill(0);
    for (let i = 0; i < count; i++) {
      const px = points[3 * i] / size;
      const py = points[3 * i + 1] / size;
      const pz = points[3 * i + 2] / size;
      const x = px * ux + py * uy + pz * uz;
      const y = px * vx + py * vy + pz * vz;
      const height = px * nx + py * ny + pz * nz;
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
  }
}

/** Turns of the inverse iteration: each brings the answer nearer by the ratio of the two least spreads, squared. */
const TURNS = 12;

/** The direction in which the points spread least, by inverse iteration on their scatter; written to `direction`. */
function flattestDirection(points: Float64Array, count: number, direction: Float64Array): void {
  let [mx, my, mz] = [0, 0, 0];
  for (let i = 0; i < 3 * count; i += 3) {
    mx += points[i];
    my += points[i + 1];
    mz += points[i + 2];
  }
  mx /= count;
  my /= count;
  mz /= count;
  let [xx, xy, xz, yy, yz, zz] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < 3 * count; i += 3) {
    const x = points[i] - mx;
    const y = points[i + 1] - my;
    const z = points[i + 2] - mz;
    xx += x * x;
    xy += x * y;
    xz += x * z;
    yy += y * y;
    yz += y * z;
    zz += z * z;
  }
  const lift = (xx + yy + zz) * 1e-9;
  xx += lift;
  yy += lift;
  zz += lift;
  // The inverse but for a factor, which a direction does not mind: the cofactors.
  const [ixx, ixy, ixz] = [yy * zz - yz * yz, xz * yz - xy * zz, xy * yz - xz * yy];
  const [iyy, iyz, izz] = [xx * zz - xz * xz, xy * xz - xx * yz, xx * yy - xy * xy];
  let [x, y, z] = [0.577, 0.611, 0.541];
  for (let turn = 0; turn < TURNS; turn++) {
    const nx = ixx * x + ixy * y + ixz * z;
    const ny = ixy * x + iyy * y + iyz * z;
    const nz = ixz * x + iyz * y + izz * z;
    const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (!(size > 0)) break;
    x = nx / size;
    y = ny / size;
    z = nz / size;
  }
  direction[0] = x;
  direction[1] = y;
  direction[2] = z;
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
