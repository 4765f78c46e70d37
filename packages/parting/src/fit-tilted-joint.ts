/**
 * The best plane for a joint, level or tilted: the one that traps least besides the back draft.
 *
 * Every column is missed by its distance from the plane, so the sum is convex in the plane's height and two slopes and has
 * no false valleys. The ellipsoid method closes in on the least: the answer lies in an ellipsoid, each look at its centre
 * cuts off the half where the sum only grows, and what is left also says how much better any plane could still be. That is
 * the certificate: `least` is a proven lower bound.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** A plane through a field: height = `height + slopeU · u + slopeV · v`, mm from the field's origin. */
export interface TiltedJoint {
  readonly height: number;
  readonly slopeU: number;
  readonly slopeV: number;
  /** What it misses, as a sum of lengths over the columns (multiply by a column's area), and the proven least of any plane. */
  readonly miss: number;
  readonly least: number;
}

/** Looks at most; each takes off at least an eighth of the logarithm of the ellipsoid's volume, so 700 settle 12 digits. */
const MOST_LOOKS = 900;

/**
 * Fits the plane.
 *
 * @param steepest Steepest slope allowed, as a tangent, above 0.
 * @returns The plane, its miss within a millionth of the proven least where it can be told. Cost: some 300 passes over the columns.
 */
export function fitTiltedJoint(field: ColumnField, steepest: number): TiltedJoint {
  const columns = listColumns(field);
  const { reach, span } = columns;
  // Unknowns in sizes of the problem: height in spans, slopes in the steepest one. All answers lie in the unit box, times 1 + steepest·reach/span.
  const rise = steepest * reach;
  const units = [span / 2 + rise, steepest, steepest] as const;
  let x = [0, 0, 0];
  let p = [
    [3, 0, 0],
    [0, 3, 0],
    [0, 0, 3],
  ];
  let best = { miss: Infinity, at: x };
  let least = 0;
  for (let look = 0; look < MOST_LOOKS; look++) {
    const tilt = Math.hypot(x[1], x[2]);
    const outside = tilt > 1;
    const seen = outside ? undefined : missOf(columns, x[0] * units[0], x[1] * units[1], x[2] * units[2]);
    const g = seen ? seen.slope.map((value, k) => value * units[k]) : [0, x[1] / tilt, x[2] / tilt];
    const pg = p.map((row) => row[0] * g[0] + row[1] * g[1] + row[2] * g[2]);
    const size = Math.sqrt(Math.max(0, g[0] * pg[0] + g[1] * pg[1] + g[2] * pg[2]));
    if (seen) {
      if (seen.miss < best.miss) best = { miss: seen.miss, at: x };
      least = Math.max(least, seen.miss - size);
      if (best.miss - least <= 1e-6 * best.miss + 1e-12 * span * columns.count || size === 0) break;
    }
    // A deep cut: the centre is already known to be so much worse than the best, or so far outside.
    const deep = Math.min(0.99, (seen ? seen.miss - best.miss : tilt - 1) / Math.max(size, Number.MIN_VALUE));
    ({ x, p } = cut(x, p, pg, size, deep));
  }
  const [height, slopeU, slopeV] = best.at.map((value, k) => value * units[k]);
  return { height, slopeU, slopeV, miss: best.miss, least: Math.min(least, best.miss) };
}

/** The smallest ellipsoid round the half that is left. */
function cut(
  x: readonly number[],
  p: readonly (readonly number[])[],
  pg: readonly number[],
  size: number,
  deep: number,
): { x: number[]; p: number[][] } {
  const step = (1 + 3 * deep) / 4;
  const shrink = (9 / 8) * (1 - deep * deep);
  const along = (2 * step) / (1 + deep);
  const to = pg.map((value) => value / size);
  return {
    x: x.map((value, k) => value - step * to[k]),
    p: p.map((row, i) => row.map((value, j) => shrink * (value - along * to[i] * to[j]))),
  };
}

interface Columns {
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly count: number;
  /** Furthest column axis from the origin, and the pattern's height. */
  readonly reach: number;
  readonly span: number;
}

function listColumns({ cells, nu, nv, u0, v0, column, lowest, highest }: ColumnField): Columns {
  const size = nu * nv;
  const [u, v, low, high] = [0, 0, 0, 0].map(() => new Float64Array(size));
  let count = 0;
  let reach = 0;
  for (let row = 0, i = 0; row < nv; row++) {
    const first = count;
    for (let x = 0; x < nu; x++, i += CELL_STRIDE) {
      const top = cells[i + CELL_TOP];
      if (top === -Infinity) continue;
      u[count] = u0 + x * column;
      v[count] = v0 + row * column;
      high[count] = top;
      low[count] = cells[i + CELL_BOTTOM];
      count++;
    }
    // The furthest of a row is its first or its last.
    if (count > first) reach = Math.max(reach, Math.hypot(u[first], v[first]), Math.hypot(u[count - 1], v[count - 1]));
  }
  // Heights count from the box's centre, which need not be the middle along the draw.
  const span = 2 * Math.max(highest, -lowest, Number.MIN_VALUE);
  return { u, v, low, high, count, reach, span };
}

/** What a plane misses, and how that changes with its height and slopes. */
function missOf(
  { u, v, low, high, count }: Columns,
  height: number,
  slopeU: number,
  slopeV: number,
): { miss: number; slope: [number, number, number] } {
  let miss = 0;
  let up = 0;
  let alongU = 0;
  let alongV = 0;
  for (let k = 0; k < count; k++) {
    const z = height + slopeU * u[k] + slopeV * v[k];
    if (z < low[k]) {
      miss += low[k] - z;
      up--;
      alongU -= u[k];
      alongV -= v[k];
    } else if (z > high[k]) {
      miss += z - high[k];
      up++;
      alongU += u[k];
      alongV += v[k];
    }
  }
  return { miss, slope: [up, alongU, alongV] };
}

/**
 * Sum of a plane's distances from a level joint over the columns outside the shadow, out to a pad of sand, in lengths. Whole
 * stretches of a row are added up at once, so that wide margins cost no more than narrow ones.
 */
export function distanceOutside(
  plane: Pick<TiltedJoint, 'height' | 'slopeU' | 'slopeV'>,
  { cells, nu, nv, u0, v0, column }: ColumnField,
  pad: number,
  level: number,
): number {
  const step = plane.slopeU * column;
  let sum = 0;
  for (let row = -pad; row < nv + pad; row++) {
    const first = plane.height - level + plane.slopeU * u0 + plane.slopeV * (v0 + row * column);
    if (row < 0 || row >= nv) {
      sum += sumDistances(first, step, -pad, nu + pad);
      continue;
    }
    sum += sumDistances(first, step, -pad, 0) + sumDistances(first, step, nu, nu + pad);
    for (let x = 0, i = row * nu * CELL_STRIDE; x < nu; x++, i += CELL_STRIDE) {
      if (cells[i + CELL_TOP] === -Infinity) sum += Math.abs(first + x * step);
    }
  }
  return sum;
}

/** Sum of |first + x · step| over the whole numbers x from `from` to before `end`. */
function sumDistances(first: number, step: number, from: number, end: number): number {
  const count = end - from;
  if (count <= 0) return 0;
  const a = first + from * step;
  const b = first + (end - 1) * step;
  if (a < 0 === b < 0) return (count / 2) * Math.abs(a + b);
  // It passes through nothing between two of the places: up to there it has the one sign, and from there the other.
  const before = Math.min(count - 1, Math.floor((a / (a - b)) * (count - 1)) + 1);
  const last = a + (before - 1) * step;
  return (before / 2) * Math.abs(a + last) + ((count - before) / 2) * Math.abs(last + step + b);
}
