/** Where two faces overlap in plan, which of them is higher? */
import type { FramedMesh } from './draw-frame.js';

/** Cuts faces against each other in plan. Holds scratch of its own; one for each task. */
export class FaceClipper {
  readonly #mesh: FramedMesh;
  #polygon = new Float64Array(32);
  #clipped = new Float64Array(32);

  constructor(mesh: FramedMesh) {
    this.#mesh = mesh;
  }

  /** True where an upward face has a downward one over it with room for sand between, somewhere. In doubt true. */
  gapBetween(up: number, down: number): boolean {
    const { points: p, triangles, rounding } = this.#mesh;
    const [a, b, c] = [3 * triangles[3 * up], 3 * triangles[3 * up + 1], 3 * triangles[3 * up + 2]];
    const [d, e, f] = [3 * triangles[3 * down], 3 * triangles[3 * down + 1], 3 * triangles[3 * down + 2]];
    if (Math.max(p[d + 2], p[e + 2], p[f + 2]) - Math.min(p[a + 2], p[b + 2], p[c + 2]) <= rounding) return false;
    let count = 3;
    [d, e, f].forEach((corner, k) => {
      this.#polygon[2 * k] = p[corner];
      this.#polygon[2 * k + 1] = p[corner + 1];
    });
    // The upward face runs anticlockwise in plan: what is left of all its edges is over it.
    for (const [from, to] of [
      [a, b],
      [b, c],
      [c, a],
    ] as const) {
      count = this.#clip(count, p[from], p[from + 1], p[to] - p[from], p[to + 1] - p[from + 1], rounding);
      if (count === 0) return false;
    }
    for (let k = 0; k < count; k++) {
      const [x, y] = [this.#polygon[2 * k], this.#polygon[2 * k + 1]];
      if (planeHeight(p, d, e, f, x, y) - planeHeight(p, a, b, c, x, y) > rounding) return true;
    }
    return false;
  }

  /** Keeps what lies left of an edge, a rounding more; Sutherland's and Hodgman's way. Answers how many corners are left. */
  #clip(count: number, x0: number, y0: number, ex: number, ey: number, slack: number): number {
    const from = this.#polygon;
    const to = this.#clipped;
    const more = slack * Math.sqrt(ex * ex + ey * ey);
    let kept = 0;
    for (let k = 0; k < count; k++) {
      const n = (k + 1) % count;
      const [x, y, u, v] = [from[2 * k], from[2 * k + 1], from[2 * n], from[2 * n + 1]];
      const here = ex * (y - y0) - ey * (x - x0) + more;
      const there = ex * (v - y0) - ey * (u - x0) + more;
      if (here >= 0) {
        to[2 * kept] = x;
        to[2 * kept++ + 1] = y;
      }
      if (here >= 0 !== there >= 0) {
        const share = here / (here - there);
        to[2 * kept] = x + share * (u - x);
        to[2 * kept++ + 1] = y + share * (v - y);
      }
    }
    this.#polygon = to;
    this.#clipped = from;
    return kept;
  }
}

/** Height of the plane through three corners over a place in plan, no higher or lower than the corners themselves. */
function planeHeight(p: Float32Array, a: number, b: number, c: number, x: number, y: number): number {
  const [ux, uy, vx, vy] = [p[b] - p[a], p[b + 1] - p[a + 1], p[c] - p[a], p[c + 1] - p[a + 1]];
  const twice = ux * vy - uy * vx;
  const s = ((x - p[a]) * vy - vx * (y - p[a + 1])) / twice;
  const t = (ux * (y - p[a + 1]) - (x - p[a]) * uy) / twice;
  const height = p[a + 2] + s * (p[b + 2] - p[a + 2]) + t * (p[c + 2] - p[a + 2]);
  const low = Math.min(p[a + 2], p[b + 2], p[c + 2]);
  const high = Math.max(p[a + 2], p[b + 2], p[c + 2]);
  return Math.max(low, Math.min(high, height));
}
