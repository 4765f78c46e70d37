/** How far at most any point of a triangle lies from a surface: a bound, not a sample. */
import { orient2d } from 'robust-predicates';
import { ClosestPoint } from './closest-point.js';
import { listEdges, nextHalfEdge } from './list-edges.js';
import { buildTriangleTree } from './triangle-tree.js';

/** Pieces a triangle is cut into before it is given up. */
const MOST_PIECES = 240;
const MOST_DEPTH = 24;
/** Triangles of the surface looked at over one piece. */
const MOST_OVER = 20000;
/** Share of the limit that a piece may be drawn in from its edges, so that what only touches it does not count. */
const DRAWN_IN = 0.01;
/** Uneven weights of the point at which the layers over a piece are counted: it should lie on no edge. */
const WEIGHTS: readonly number[] = Object.freeze([0.3137, 0.3329, 0.3534]);

/**
 * A surface that triangles are compared with. A piece of a triangle is near when one of two things is shown:
 *
 * - One triangle of the surface is near all three corners of the piece. The distance from a convex set is a convex
 *   function, so it is then near the whole piece.
 * - Looking straight at the piece, the surface covers it at no more than the limit in front or behind. The surface is
 *   followed from triangle to triangle across every edge that comes over the piece. Nothing of the border of what was
 *   followed lies over the piece, so the number of its layers is odd over all of it or even over all of it (the degree of
 *   the projection, modulo 2), and one point where it is odd shows that all of the piece is covered.
 *
 * What neither shows is cut in two along its longest edge, and both halves are tried.
 */
export class NearSurface {
  /** After a bound of Infinity: the triangle of the surface nearest to where it failed. */
  nearest = -1;
  readonly #positions: Float64Array;
  readonly #triangles: Uint32Array;
  readonly #closest: ClosestPoint;
  /** The half-edge on the other side of each, or -1 where not just two triangles meet. */
  readonly #mates: Int32Array;
  /** The first copy of each triangle; itself where there is no other. */
  readonly #firsts: Int32Array;
  readonly #stamps: Int32Array;
  #stamp = 0;
  readonly #pieces = new Float64Array((MOST_DEPTH + 2) * 9);
  readonly #depths = new Int32Array(MOST_DEPTH + 2);
  readonly #queue: number[] = [];
  /** x, y, height and the distances inside the three edges, of three corners. */
  readonly #seen = new Float64Array(18);
  /** Unit vectors along the first edge of the piece, across it and up, and the length of that edge. */
  readonly #frame = new Float64Array(10);
  /** Its third corner in that frame. */
  #cornerX = 0;
  #cornerY = 0;
  #inset = 0;

  constructor(positions: Float64Array, triangles: Uint32Array) {
    this.#positions = positions;
    this.#triangles = triangles;
    this.#closest = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
    this.#firsts = Int32Array.from({ length: triangles.length / 3 }, (_, t) => t);
    this.#mates = joinEdges(triangles, positions.length / 3, this.#firsts);
    this.#stamps = new Int32Array(triangles.length / 3);
  }

  /**
   * A bound on the distance of every point of a triangle from the surface. Infinity when it is farther than `limit`
   * somewhere, or when that cannot be ruled out.
   */
  bound(positions: Float64Array, a: number, b: number, c: number, limit: number): number {
    const pieces = this.#pieces;
    for (let k = 0; k < 3; k++) {
      pieces[k] = positions[a * 3 + k];
      pieces[3 + k] = positions[b * 3 + k];
      pieces[6 + k] = positions[c * 3 + k];
    }
    this.#depths[0] = 0;
    let waiting = 1;
    let tried = 0;
    let worst = 0;
    while (waiting > 0) {
      const at = --waiting * 9;
      const value = this.#boundPiece(at, limit);
      if (value <= limit) {
        if (value > worst) worst = value;
        continue;
      }
      const depth = this.#depths[waiting];
      if (value === Infinity || ++tried > MOST_PIECES || depth === MOST_DEPTH) return Infinity;
      cutLongest(pieces, at);
      this.#depths[waiting] = this.#depths[waiting + 1] = depth + 1;
      waiting += 2;
    }
    return worst;
  }

  /** A bound for the piece; NaN when it must be cut; Infinity when a corner is too far. */
  #boundPiece(at: number, limit: number): number {
    const p = this.#pieces;
    const closest = this.#closest;
    const reach = limit * limit;
    let best = Infinity;
    let last = -1;
    for (let i = 0; i < 9; i += 3) {
      if (!closest.find(p[at + i], p[at + i + 1], p[at + i + 2])) return Infinity;
      const { triangle } = closest;
      this.nearest = triangle;
      if (!(closest.square <= reach)) return Infinity;
      if (triangle === last) continue;
      last = triangle;
      let square = closest.square;
      for (let j = 0; j < 9 && square <= reach; j += 3) {
        if (j === i) continue;
        square = Math.max(square, closest.squareTo(triangle, p[at + j], p[at + j + 1], p[at + j + 2]));
      }
      if (square < best) best = square;
      if (best <= reach / 4) break;
    }
    if (best <= reach) return Math.sqrt(best);
    return this.#boundByCover(at, limit);
  }

  #boundByCover(at: number, limit: number): number {
    const p = this.#pieces;
    if (!this.#settleFrame(at, limit)) return NaN;
    const [w0, w1, w2] = WEIGHTS;
    const mx = w0 * p[at] + w1 * p[at + 3] + w2 * p[at + 6];
    const my = w0 * p[at + 1] + w1 * p[at + 4] + w2 * p[at + 7];
    const mz = w0 * p[at + 2] + w1 * p[at + 5] + w2 * p[at + 8];
    if (!this.#closest.find(mx, my, mz, limit * limit)) return Infinity;
    const f = this.#frame;
    const cx = w1 * f[9] + w2 * this.#cornerX;
    const cy = w2 * this.#cornerY;
    const most = limit * (1 - DRAWN_IN);
    const queue = this.#queue;
    const stamp = ++this.#stamp;
    queue.length = 0;
    const start = this.#firsts[this.#closest.triangle];
    queue.push(start);
    this.#stamps[start] = stamp;
    let layers = 0;
    let highest = 0;
    for (let done = 0; done < queue.length; done++) {
      if (done > MOST_OVER) return NaN;
      const t = queue[done];
      this.#look(t, at);
      const height = this.#heightOver(most);
      if (height > most) return NaN;
      if (height > highest) highest = height;
      layers += this.#layersAt(cx, cy);
      for (let i = 0; i < 3; i++) {
        if (!this.#comesOver(i * 6, ((i + 1) % 3) * 6)) continue;
        const mate = this.#mates[t * 3 + i];
        if (mate < 0) return NaN;
        const next = (mate / 3) | 0;
        if (this.#stamps[next] === stamp) continue;
        this.#stamps[next] = stamp;
        queue.push(next);
      }
    }
    return layers % 2 === 1 ? highest + limit * DRAWN_IN : NaN;
  }

  /** Lays the frame in the plane of the piece. False where it is too thin to have one, or too small to be drawn in. */
  #settleFrame(at: number, limit: number): boolean {
    const p = this.#pieces;
    const f = this.#frame;
    const ux = p[at + 3] - p[at];
    const uy = p[at + 4] - p[at + 1];
    const uz = p[at + 5] - p[at + 2];
    const vx = p[at + 6] - p[at];
    const vy = p[at + 7] - p[at + 1];
    const vz = p[at + 8] - p[at + 2];
    const u = Math.sqrt(ux * ux + uy * uy + uz * uz);
    const v = Math.sqrt(vx * vx + vy * vy + vz * vz);
    const w = Math.sqrt((vx - ux) ** 2 + (vy - uy) ** 2 + (vz - uz) ** 2);
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const longest = Math.max(u, v, w);
    // The circle inside, drawn in by so much, moves no corner by more than the share of the limit.
    this.#inset = (DRAWN_IN * limit * twice) / ((u + v + w) * longest);
    if (!(this.#inset > 1e-9 * longest) || longest < 2 * DRAWN_IN * limit) return false;
    f[0] = ux / u;
    f[1] = uy / u;
    f[2] = uz / u;
    f[6] = nx / twice;
    f[7] = ny / twice;
    f[8] = nz / twice;
    f[3] = f[7] * f[2] - f[8] * f[1];
    f[4] = f[8] * f[0] - f[6] * f[2];
    f[5] = f[6] * f[1] - f[7] * f[0];
    f[9] = u;
    this.#cornerX = vx * f[0] + vy * f[1] + vz * f[2];
    this.#cornerY = vx * f[3] + vy * f[4] + vz * f[5];
    return true;
  }

  /** Works out where the corners of a triangle of the surface are, seen from the piece. */
  #look(t: number, at: number): void {
    const { 0: ux, 1: uy, 2: uz, 3: vx, 4: vy, 5: vz, 6: nx, 7: ny, 8: nz, 9: length } = this.#frame;
    const p = this.#pieces;
    const q = this.#positions;
    const s = this.#seen;
    const thirdX = this.#cornerX;
    const thirdY = this.#cornerY;
    const second = Math.sqrt((thirdX - length) ** 2 + thirdY * thirdY);
    const third = Math.sqrt(thirdX * thirdX + thirdY * thirdY);
    for (let i = 0; i < 3; i++) {
      const corner = this.#triangles[t * 3 + i] * 3;
      const dx = q[corner] - p[at];
      const dy = q[corner + 1] - p[at + 1];
      const dz = q[corner + 2] - p[at + 2];
      const x = dx * ux + dy * uy + dz * uz;
      const y = dx * vx + dy * vy + dz * vz;
      const k = i * 6;
      s[k] = x;
      s[k + 1] = y;
      s[k + 2] = dx * nx + dy * ny + dz * nz;
      s[k + 3] = y;
      s[k + 4] = ((thirdX - length) * y - thirdY * (x - length)) / second;
      s[k + 5] = (thirdY * x - thirdX * y) / third;
    }
  }

  /** True when the edge between two seen corners comes over the piece. */
  #comesOver(a: number, b: number): boolean {
    const s = this.#seen;
    const inset = this.#inset;
    let from = 0;
    let to = 1;
    for (let k = 3; k < 6; k++) {
      const d = s[a + k] - inset;
      const e = s[b + k] - inset;
      if (d <= 0 && e <= 0) return false;
      if (d < 0) from = Math.max(from, d / (d - e));
      else if (e < 0) to = Math.min(to, d / (d - e));
    }
    return from < to;
  }

  /** The greatest height, up or down, of the seen triangle over the piece; 0 where no part of it is over it. */
  #heightOver(most: number): number {
    const s = this.#seen;
    const whole = Math.max(Math.abs(s[2]), Math.abs(s[8]), Math.abs(s[14]));
    if (whole <= most) return whole;
    const inset = this.#inset;
    let polygon: Float64Array[] = [s.slice(0, 6), s.slice(6, 12), s.slice(12, 18)];
    for (let k = 3; k < 6; k++) {
      const kept: Float64Array[] = [];
      for (let i = 0; i < polygon.length; i++) {
        const a = polygon[i];
        const b = polygon[(i + 1) % polygon.length];
        const d = a[k] - inset;
        const e = b[k] - inset;
        if (d >= 0) kept.push(a);
        if (d < 0 !== e < 0) kept.push(a.map((value, j) => value + (d / (d - e)) * (b[j] - value)));
      }
      polygon = kept;
    }
    return polygon.reduce((height, corner) => Math.max(height, Math.abs(corner[2])), 0);
  }

  /** 1 when the point is inside the seen triangle, 0 when outside, NaN when on its edge. */
  #layersAt(x: number, y: number): number {
    const s = this.#seen;
    if (x < Math.min(s[0], s[6], s[12]) || x > Math.max(s[0], s[6], s[12])) return 0;
    if (y < Math.min(s[1], s[7], s[13]) || y > Math.max(s[1], s[7], s[13])) return 0;
    const a = orient2d(s[0], s[1], s[6], s[7], x, y);
    const b = orient2d(s[6], s[7], s[12], s[13], x, y);
    const c = orient2d(s[12], s[13], s[0], s[1], x, y);
    if ((a > 0 && b > 0 && c > 0) || (a < 0 && b < 0 && c < 0)) return 1;
    if ((a >= 0 && b >= 0 && c >= 0) || (a <= 0 && b <= 0 && c <= 0)) return NaN;
    return 0;
  }
}

/**
 * The half-edge on the other side of each, where two triangles meet, whichever way they face; else -1. Copies of a
 * triangle count once: the first stands for all.
 */
function joinEdges(triangles: Uint32Array, corners: number, firsts: Int32Array): Int32Array {
  const edges = listEdges(triangles, corners);
  const mates = new Int32Array(triangles.length).fill(-1);
  const third = (h: number): number => triangles[nextHalfEdge(nextHalfEdge(h))];
  for (let e = 0; e < edges.count; e++) {
    let g = -1;
    let h = -1;
    let more = false;
    for (let i = edges.starts[e]; i < edges.starts[e + 1]; i++) {
      const each = edges.halfEdges[i];
      if (g < 0) g = each;
      else if (third(each) === third(g)) firsts[(each / 3) | 0] = (g / 3) | 0;
      else if (h < 0) h = each;
      else if (third(each) === third(h)) firsts[(each / 3) | 0] = (h / 3) | 0;
      else more = true;
    }
    if (h < 0 || more) continue;
    mates[g] = h;
    mates[h] = g;
  }
  return mates;
}

/** Cuts the piece at `at` across its longest edge: one half in its place, the other behind it. */
function cutLongest(pieces: Float64Array, at: number): void {
  let longest = -1;
  let first = 0;
  for (let i = 0; i < 3; i++) {
    const a = at + i * 3;
    const b = at + ((i + 1) % 3) * 3;
    const square =
      (pieces[a] - pieces[b]) ** 2 + (pieces[a + 1] - pieces[b + 1]) ** 2 + (pieces[a + 2] - pieces[b + 2]) ** 2;
    if (square > longest) {
      longest = square;
      first = i;
    }
  }
  const second = (first + 1) % 3;
  pieces.copyWithin(at + 9, at, at + 9);
  for (let k = 0; k < 3; k++) {
    const middle = (pieces[at + first * 3 + k] + pieces[at + second * 3 + k]) / 2;
    pieces[at + second * 3 + k] = middle;
    pieces[at + 9 + first * 3 + k] = middle;
  }
}
