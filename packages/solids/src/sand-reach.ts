/** How far the sand that lies against a face reaches along the draw before metal ends it. */
import type { FramedMesh } from './draw-frame.js';

/** A convex polygon in plan: x y of each corner. */
type Polygon = number[];

/** Measures the reach of sand over faces. Holds nothing between calls. */
export class SandReach {
  readonly #mesh: FramedMesh;

  constructor(mesh: FramedMesh) {
    this.#mesh = mesh;
  }

  /**
   * The height beyond which no sand against a face lies: over each place of it the nearest facing face ends the sand. Faces
   * are laid over it from the nearest on, until it is covered; what lies beyond those that cover something new is others' sand.
   *
   * @param others Faces that face it with a gap, as places in `faces`.
   * @param way 1 for sand over an upward face, −1 for sand under a downward one.
   */
  over(face: number, others: Uint32Array, faces: Uint32Array, way: 1 | -1): number {
    const { points: p, triangles, rounding } = this.#mesh;
    const far = (t: number): number => {
      const [a, b, c] = [3 * triangles[3 * t] + 2, 3 * triangles[3 * t + 1] + 2, 3 * triangles[3 * t + 2] + 2];
      return Math.max(way * p[a], way * p[b], way * p[c]);
    };
    const order = Array.from(others, (k) => faces[k]).sort((a, b) => far(a) - far(b));
    let open: Polygon[] = [planOf(p, triangles, face)];
    let reach = far(order[0]);
    for (const other of order) {
      const cover = planOf(p, triangles, other);
      const left: Polygon[] = [];
      let covers = false;
      for (const polygon of open) if (takeAway(polygon, cover, rounding, left)) covers = true;
      if (!covers) continue;
      reach = Math.max(reach, far(other));
      open = left;
      if (open.length === 0) break;
    }
    return way * reach;
  }
}

/** A face in plan, anticlockwise. */
function planOf(p: Float32Array, triangles: Uint32Array, t: number): Polygon {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const turn = (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]);
  return turn > 0 ? [p[a], p[a + 1], p[b], p[b + 1], p[c], p[c + 1]] : [p[a], p[a + 1], p[c], p[c + 1], p[b], p[b + 1]];
}

/** Takes a triangle from a polygon; what is left goes to `left`. False, with the polygon left whole, where they do not overlap. */
function takeAway(polygon: Polygon, cover: Polygon, rounding: number, left: Polygon[]): boolean {
  let inside = polygon;
  const outside: Polygon[] = [];
  for (let k = 0; k < 6 && inside.length > 0; k += 2) {
    const n = (k + 2) % 6;
    const ex = cover[n] - cover[k];
    const ey = cover[n + 1] - cover[k + 1];
    const kept: Polygon = [];
    const gone: Polygon = [];
    cutAlong(inside, cover[k], cover[k + 1], ex, ey, kept, gone);
    if (matters(gone, rounding)) outside.push(gone);
    inside = kept;
  }
  if (!matters(inside, rounding)) {
    left.push(polygon);
    return false;
  }
  left.push(...outside);
  return true;
}

/** Cuts a convex polygon along a line into what lies left of it and what lies right. */
function cutAlong(
  polygon: Polygon,
  x0: number,
  y0: number,
  ex: number,
  ey: number,
  kept: Polygon,
  gone: Polygon,
): void {
  for (let k = 0; k < polygon.length; k += 2) {
    const n = (k + 2) % polygon.length;
    const [x, y, u, v] = [polygon[k], polygon[k + 1], polygon[n], polygon[n + 1]];
    const here = ex * (y - y0) - ey * (x - x0);
    const there = ex * (v - y0) - ey * (u - x0);
    if (here >= 0) kept.push(x, y);
    if (here <= 0) gone.push(x, y);
    if ((here > 0 && there < 0) || (here < 0 && there > 0)) {
      const share = here / (here - there);
      const [s, t] = [x + share * (u - x), y + share * (v - y)];
      kept.push(s, t);
      gone.push(s, t);
    }
  }
}

/** False for what is thinner than the rounding of its corners. */
function matters(polygon: Polygon, rounding: number): boolean {
  let twice = 0;
  let round = 0;
  for (let k = 0; k < polygon.length; k += 2) {
    const n = (k + 2) % polygon.length;
    twice += polygon[k] * polygon[n + 1] - polygon[n] * polygon[k + 1];
    round += Math.abs(polygon[n] - polygon[k]) + Math.abs(polygon[n + 1] - polygon[k + 1]);
  }
  return twice > rounding * round;
}
