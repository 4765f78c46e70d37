/**
 * The convex hull of a pattern's corners, exact. The corners are put on a grid of 2¹⁶ steps along each axis, where every
 * sign the hull asks for is a sum of six whole numbers under 2⁴⁸ and so without error in doubles. What the grid moved is
 * known, and nothing lies further outside the hull than that.
 *
 * The way is the usual one (quickhull, Barber, Dobkin and Huhdanpaa 1996): the furthest corner outside a face is joined to
 * the edge of all faces it sees, until no corner is outside.
 */
import type { Steps } from '@oddside/core';

/** A convex body round a pattern. */
export interface HullAround {
  /** Area vectors of its faces, outward, mm², n×3: as long as the face's area. */
  readonly areas: Float64Array;
  /** How far, mm, a corner may lie outside it at most. */
  readonly off: number;
  /** Diagonal of the pattern's box, mm. */
  readonly diagonal: number;
}

const STEPS = 2 ** 16;
/** Corners handed out at first, and looks at whether a corner is outside a face, between two pauses. */
const PIECE = 20_000;
const MOST_LOOKS = 200_000;

interface Face {
  readonly corners: readonly [number, number, number];
  /** Outward normal, twice the area long, in grid steps. */
  readonly normal: readonly [number, number, number];
  /** Faces across the edges from the first, second and third corner. */
  readonly across: [Face, Face, Face];
  outside: number[];
  gone: boolean;
}

/**
 * Builds the hull in small pieces of work.
 *
 * @returns `null` where the corners lie in one plane. Cost: about 1 µs a corner, three times that where all lie on it.
 */
export function* hullSteps(positions: Float64Array): Steps<HullAround | null> {
  const { grid, step } = putOnGrid(positions);
  const diagonal = Math.hypot(...step) * STEPS;
  const first = step.some((one) => one === 0) ? null : firstFaces(grid);
  if (!first) return null;
  const count = positions.length / 3;
  for (let from = 0; from < count; from += PIECE) {
    const to = Math.min(count, from + PIECE);
    handOut(grid, first, from, to);
    yield (0.5 * to) / count;
  }
  const faces = [...first];
  let looks = 0;
  const open = first.filter(({ outside }) => outside.length > 0);
  for (let face = open.pop(); face; face = open.pop()) {
    if (face.gone || face.outside.length === 0) continue;
    const { made, seen } = raise(grid, face);
    for (const old of seen) {
      for (const corner of old.outside) {
        handOut(grid, made, corner, corner + 1);
        looks += made.length;
        if (looks < MOST_LOOKS) continue;
        looks = 0;
        yield 0.5 + 0.49 * (1 - 1 / (1 + faces.length / 5000));
      }
      old.outside = [];
    }
    faces.push(...made);
    open.push(...made);
    looks += 10 * made.length;
  }
  const [sx, sy, sz] = step;
  const kept = faces.filter(({ gone }) => !gone);
  const areas = new Float64Array(3 * kept.length);
  for (const [i, { normal }] of kept.entries()) {
    areas[3 * i] = (normal[0] * sy * sz) / 2;
    areas[3 * i + 1] = (normal[1] * sz * sx) / 2;
    areas[3 * i + 2] = (normal[2] * sx * sy) / 2;
  }
  // Half a step along each axis, and a little for the rounding of the steps themselves.
  return { areas, off: (0.5 + 1e-6) * Math.hypot(...step), diagonal };
}

/** Corners as whole numbers, and the length of a step along each axis, mm. */
function putOnGrid(positions: Float64Array): { grid: Int32Array; step: readonly [number, number, number] } {
  const grid = new Int32Array(positions.length);
  const step: [number, number, number] = [0, 0, 0];
  for (let axis = 0; axis < 3; axis++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = axis; i < positions.length; i += 3) {
      if (positions[i] < low) low = positions[i];
      if (positions[i] > high) high = positions[i];
    }
    if (!(high > low)) continue;
    step[axis] = (high - low) / STEPS;
    for (let i = axis; i < positions.length; i += 3) {
      grid[i] = Math.min(STEPS, Math.round(((positions[i] - low) / (high - low)) * STEPS));
    }
  }
  return { grid, step };
}

/** How far a corner is over a face's plane, in grid steps times twice the face's area: exact. */
function over(grid: Int32Array, { corners, normal }: Face, corner: number): number {
  const a = 3 * corners[0];
  const p = 3 * corner;
  return (
    normal[0] * (grid[p] - grid[a]) + normal[1] * (grid[p + 1] - grid[a + 1]) + normal[2] * (grid[p + 2] - grid[a + 2])
  );
}

function normalOf(grid: Int32Array, a: number, b: number, c: number): [number, number, number] {
  const ex = grid[3 * b] - grid[3 * a];
  const ey = grid[3 * b + 1] - grid[3 * a + 1];
  const ez = grid[3 * b + 2] - grid[3 * a + 2];
  const fx = grid[3 * c] - grid[3 * a];
  const fy = grid[3 * c + 1] - grid[3 * a + 1];
  const fz = grid[3 * c + 2] - grid[3 * a + 2];
  return [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
}

function makeFace(grid: Int32Array, a: number, b: number, c: number): Face {
  const across = [] as unknown as Face['across'];
  return { corners: [a, b, c], normal: normalOf(grid, a, b, c), across, outside: [], gone: false };
}

/** A tetrahedron to start from; `null` where all corners lie in one plane. */
function firstFaces(grid: Int32Array): Face[] | null {
  const [a, b] = endsAlongX(grid);
  const c = furthestFromLine(grid, a, b);
  const base = makeFace(grid, a, b, c);
  const d = furthestFromFace(grid, base);
  const side = over(grid, base, d);
  if (side === 0) return null;
  const [p, q, r] = side < 0 ? [a, b, c] : [a, c, b];
  const [low, s, t, u] = [
    [p, q, r],
    [p, d, q],
    [q, d, r],
    [r, d, p],
  ].map(([i, j, k]) => makeFace(grid, i, j, k));
  low.across.push(s, t, u);
  s.across.push(u, t, low);
  t.across.push(s, u, low);
  u.across.push(t, s, low);
  return [low, s, t, u];
}

/** The first corner of least x, and of greatest. */
function endsAlongX(grid: Int32Array): [number, number] {
  let [a, b] = [0, 0];
  for (let corner = 1; corner < grid.length / 3; corner++) {
    if (grid[3 * corner] < grid[3 * a]) a = corner;
    if (grid[3 * corner] > grid[3 * b]) b = corner;
  }
  return [a, b];
}

function furthestFromLine(grid: Int32Array, a: number, b: number): number {
  const ex = grid[3 * b] - grid[3 * a];
  const ey = grid[3 * b + 1] - grid[3 * a + 1];
  const ez = grid[3 * b + 2] - grid[3 * a + 2];
  let [found, most] = [0, -1];
  for (let corner = 0; corner < grid.length / 3; corner++) {
    const fx = grid[3 * corner] - grid[3 * a];
    const fy = grid[3 * corner + 1] - grid[3 * a + 1];
    const fz = grid[3 * corner + 2] - grid[3 * a + 2];
    const square = (ey * fz - ez * fy) ** 2 + (ez * fx - ex * fz) ** 2 + (ex * fy - ey * fx) ** 2;
    if (square <= most) continue;
    found = corner;
    most = square;
  }
  return found;
}

function furthestFromFace(grid: Int32Array, face: Face): number {
  let [found, most] = [0, -1];
  for (let corner = 0; corner < grid.length / 3; corner++) {
    const away = Math.abs(over(grid, face, corner));
    if (away <= most) continue;
    found = corner;
    most = away;
  }
  return found;
}

/** Gives corners to the first of some faces that they are outside of. */
function handOut(grid: Int32Array, faces: readonly Face[], from: number, to: number): void {
  for (let corner = from; corner < to; corner++) {
    for (const face of faces) {
      if (over(grid, face, corner) <= 0) continue;
      face.outside.push(corner);
      break;
    }
  }
}

/** Joins the corner furthest outside a face to the edge of all faces that it sees. */
function raise(grid: Int32Array, start: Face): { made: Face[]; seen: Face[] } {
  let [apex, most] = [-1, 0];
  for (const corner of start.outside) {
    const height = over(grid, start, corner);
    if (height > most) [apex, most] = [corner, height];
  }
  start.gone = true;
  const seen = [start];
  const byStart = new Map<number, Face>();
  for (let i = 0; i < seen.length; i++) {
    const face = seen[i];
    for (let k = 0; k < 3; k++) {
      const other = face.across[k];
      if (other.gone) continue;
      if (over(grid, other, apex) > 0) {
        other.gone = true;
        seen.push(other);
        continue;
      }
      const [from, to] = [face.corners[k], face.corners[(k + 1) % 3]];
      const made = makeFace(grid, from, to, apex);
      made.across[0] = other;
      other.across[other.corners.indexOf(to)] = made;
      byStart.set(from, made);
    }
  }
  const made = [...byStart.values()];
  for (const face of made) {
    const next = byStart.get(face.corners[1])!;
    face.across[1] = next;
    next.across[2] = face;
  }
  return { made, seen };
}
