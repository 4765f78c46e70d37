/** Whether two triangles of one mesh cut each other, exactly. */
import { orient2d, orient3d } from 'robust-predicates';

/** Tests pairs of triangles of one mesh. Signs are exact (Shewchuk's adaptive predicates), so touching counts as it is. */
export class CutTester {
  readonly #p: Float64Array;
  readonly #t: Uint32Array;

  constructor(positions: Float64Array, triangles: Uint32Array) {
    this.#p = positions;
    this.#t = triangles;
  }

  /** True when the triangles have more in common than a shared corner or edge. */
  cut(s: number, t: number): boolean {
    const tri = this.#t;
    const s0 = s * 3;
    const t0 = t * 3;
    let shared = 0;
    // Places of the last shared corner, and the sum of places of all shared ones, in each triangle.
    let sAt = 0;
    let tAt = 0;
    let sSum = 0;
    let tSum = 0;
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) {
        if (tri[s0 + i] !== tri[t0 + j]) continue;
        shared++;
        sAt = i;
        tAt = j;
        sSum += i;
        tSum += j;
      }
    }
    if (shared === 0) return this.#cutApart(s0, t0);
    if (shared === 1) {
      const a = tri[s0 + ((sAt + 1) % 3)];
      const b = tri[s0 + ((sAt + 2) % 3)];
      const c = tri[t0 + ((tAt + 1) % 3)];
      const d = tri[t0 + ((tAt + 2) % 3)];
      return this.#segmentMeets(a, b, t0) || this.#segmentMeets(c, d, s0);
    }
    if (shared > 2) return true;
    // An edge in common: they overlap only when folded flat onto each other.
    const sTip = tri[s0 + 3 - sSum];
    const tTip = tri[t0 + 3 - tSum];
    if (this.#side(s0, tTip) !== 0) return false;
    const a = tri[s0 + ((3 - sSum + 1) % 3)];
    const b = tri[s0 + ((3 - sSum + 2) % 3)];
    const drop = this.#flattestAxis(s0);
    return this.#side2(drop, a, b, sTip) * this.#side2(drop, a, b, tTip) > 0;
  }

  #cutApart(s0: number, t0: number): boolean {
    const tri = this.#t;
    const a = this.#side(s0, tri[t0]);
    const b = this.#side(s0, tri[t0 + 1]);
    const c = this.#side(s0, tri[t0 + 2]);
    if ((a > 0 && b > 0 && c > 0) || (a < 0 && b < 0 && c < 0)) return false;
    for (let i = 0; i < 3; i++) {
      const next = (i + 1) % 3;
      if (this.#segmentMeets(tri[t0 + i], tri[t0 + next], s0)) return true;
      if (this.#segmentMeets(tri[s0 + i], tri[s0 + next], t0)) return true;
    }
    return false;
  }

  /** True when the segment from corner `a` to corner `b` touches the triangle. */
  #segmentMeets(a: number, b: number, t0: number): boolean {
    const da = this.#side(t0, a);
    const db = this.#side(t0, b);
    if ((da > 0 && db > 0) || (da < 0 && db < 0)) return false;
    if (da === 0 && db === 0) return this.#segmentMeetsFlat(a, b, t0);
    const tri = this.#t;
    const u = this.#volume(a, b, tri[t0], tri[t0 + 1]);
    const v = this.#volume(a, b, tri[t0 + 1], tri[t0 + 2]);
    if ((u > 0 && v < 0) || (u < 0 && v > 0)) return false;
    const w = this.#volume(a, b, tri[t0 + 2], tri[t0]);
    return (u >= 0 && v >= 0 && w >= 0) || (u <= 0 && v <= 0 && w <= 0);
  }

  /** The same in the plane that holds both. */
  #segmentMeetsFlat(a: number, b: number, t0: number): boolean {
    const tri = this.#t;
    const drop = this.#flattestAxis(t0);
    if (drop < 0) return false;
    for (let i = 0; i < 3; i++) {
      const c = tri[t0 + i];
      const d = tri[t0 + ((i + 1) % 3)];
      if (this.#segmentsMeet(drop, a, b, c, d)) return true;
    }
    const u = this.#side2(drop, tri[t0], tri[t0 + 1], a);
    const v = this.#side2(drop, tri[t0 + 1], tri[t0 + 2], a);
    const w = this.#side2(drop, tri[t0 + 2], tri[t0], a);
    return (u >= 0 && v >= 0 && w >= 0) || (u <= 0 && v <= 0 && w <= 0);
  }

  #segmentsMeet(drop: number, a: number, b: number, c: number, d: number): boolean {
    const abc = this.#side2(drop, a, b, c);
    const abd = this.#side2(drop, a, b, d);
    const cda = this.#side2(drop, c, d, a);
    const cdb = this.#side2(drop, c, d, b);
    if (abc * abd < 0 && cda * cdb < 0) return true;
    return (
      (abc === 0 && this.#between(drop, a, b, c)) ||
      (abd === 0 && this.#between(drop, a, b, d)) ||
      (cda === 0 && this.#between(drop, c, d, a)) ||
      (cdb === 0 && this.#between(drop, c, d, b))
    );
  }

  /** For a corner `c` on the line through `a` and `b`: whether it lies between them. */
  #between(drop: number, a: number, b: number, c: number): boolean {
    const p = this.#p;
    for (let axis = 0; axis < 3; axis++) {
      if (axis === drop) continue;
      const x = p[a * 3 + axis];
      const y = p[b * 3 + axis];
      const z = p[c * 3 + axis];
      if (z < Math.min(x, y) || z > Math.max(x, y)) return false;
    }
    return true;
  }

  /** On which side of the triangle's plane the corner lies; only the sign counts, 0 is exact. */
  #side(t0: number, corner: number): number {
    const tri = this.#t;
    return this.#volume(tri[t0], tri[t0 + 1], tri[t0 + 2], corner);
  }

  #volume(a: number, b: number, c: number, d: number): number {
    const p = this.#p;
    const i = a * 3;
    const j = b * 3;
    const k = c * 3;
    const l = d * 3;
    return Math.sign(
      orient3d(p[i], p[i + 1], p[i + 2], p[j], p[j + 1], p[j + 2], p[k], p[k + 1], p[k + 2], p[l], p[l + 1], p[l + 2]),
    );
  }

  #side2(drop: number, a: number, b: number, c: number): number {
    const p = this.#p;
    const u = drop === 0 ? 1 : 0;
    const v = drop === 2 ? 1 : 2;
    return Math.sign(orient2d(p[a * 3 + u], p[a * 3 + v], p[b * 3 + u], p[b * 3 + v], p[c * 3 + u], p[c * 3 + v]));
  }

  /** The axis the triangle's normal leans on most, to be dropped; -1 for a triangle without area. */
  #flattestAxis(t0: number): number {
    const tri = this.#t;
    const [a, b, c] = [tri[t0], tri[t0 + 1], tri[t0 + 2]];
    const p = this.#p;
    const ux = p[b * 3] - p[a * 3];
    const uy = p[b * 3 + 1] - p[a * 3 + 1];
    const uz = p[b * 3 + 2] - p[a * 3 + 2];
    const vx = p[c * 3] - p[a * 3];
    const vy = p[c * 3 + 1] - p[a * 3 + 1];
    const vz = p[c * 3 + 2] - p[a * 3 + 2];
    const x = Math.abs(uy * vz - uz * vy);
    const y = Math.abs(uz * vx - ux * vz);
    const z = Math.abs(ux * vy - uy * vx);
    const axis = x >= y && x >= z ? 0 : y >= z ? 1 : 2;
    return this.#side2(axis, a, b, c) === 0 ? -1 : axis;
  }
}
