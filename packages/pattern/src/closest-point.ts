/** The nearest point of a surface. */
import { LEAF_SIZE, type TriangleTree } from './triangle-tree.js';

/** Finds nearest points, one query after the other. After {@link find} the fields hold the answer. */
export class ClosestPoint {
  x = 0;
  y = 0;
  z = 0;
  /** Square of the distance. */
  square = 0;
  triangle = -1;
  readonly #positions: Float64Array;
  readonly #triangles: Uint32Array;
  readonly #tree: TriangleTree;
  /** Nodes still to be looked at, each with the square of its box's distance: at most one a level of the tree waits. */
  readonly #nodes = new Uint32Array(64);
  readonly #squares = new Float64Array(64);

  constructor(positions: Float64Array, triangles: Uint32Array, tree: TriangleTree) {
    this.#positions = positions;
    this.#triangles = triangles;
    this.#tree = tree;
  }

  /** Looks for the point nearest to x y z, nearer than the square root of `within`. False when there is none. */
  find(x: number, y: number, z: number, within: number = Infinity): boolean {
    const { boxes, firstLeaf, order } = this.#tree;
    const nodes = this.#nodes;
    const squares = this.#squares;
    const count = order.length;
    this.square = within;
    this.triangle = -1;
    let top = 0;
    nodes[0] = 1;
    squares[0] = boxSquare(boxes, 6, x, y, z);
    while (top >= 0) {
      const node = nodes[top];
      if (squares[top--] >= this.square) continue;
      if (node >= firstLeaf) {
        const from = (node - firstLeaf) * LEAF_SIZE;
        const to = Math.min(from + LEAF_SIZE, count);
        for (let i = from; i < to; i++) this.#tryTriangle(order[i], x, y, z);
        continue;
      }
      const left = node * 2;
      const toLeft = boxSquare(boxes, left * 6, x, y, z);
      const toRight = boxSquare(boxes, left * 6 + 6, x, y, z);
      // The nearer child is looked at first, so it goes on the stack last.
      const [near, far] = toLeft <= toRight ? [left, left + 1] : [left + 1, left];
      const farther = Math.max(toLeft, toRight);
      if (farther < this.square) {
        nodes[++top] = far;
        squares[top] = farther;
      }
      nodes[++top] = near;
      squares[top] = Math.min(toLeft, toRight);
    }
    return this.triangle >= 0;
  }

  /** Square of the distance of x y z from one triangle. */
  squareTo(triangle: number, x: number, y: number, z: number): number {
    this.square = Infinity;
    this.#tryTriangle(triangle, x, y, z);
    return this.square;
  }

  /** Nearest point of one triangle by its regions (C. Ericson, "Real-Time Collision Detection", 2005, from memory). */
  #tryTriangle(t: number, x: number, y: number, z: number): void {
    const p = this.#positions;
    const a = this.#triangles[t * 3] * 3;
    const b = this.#triangles[t * 3 + 1] * 3;
    const c = this.#triangles[t * 3 + 2] * 3;
    const abx = p[b] - p[a];
    const aby = p[b + 1] - p[a + 1];
    const abz = p[b + 2] - p[a + 2];
    const acx = p[c] - p[a];
    const acy = p[c + 1] - p[a + 1];
    const acz = p[c + 2] - p[a + 2];
    const apx = x - p[a];
    const apy = y - p[a + 1];
    const apz = z - p[a + 2];
    const d1 = abx * apx + aby * apy + abz * apz;
    const d2 = acx * apx + acy * apy + acz * apz;
    if (d1 <= 0 && d2 <= 0) return this.#take(t, p[a], p[a + 1], p[a + 2], x, y, z);
    const bpx = x - p[b];
    const bpy = y - p[b + 1];
    const bpz = z - p[b + 2];
    const d3 = abx * bpx + aby * bpy + abz * bpz;
    const d4 = acx * bpx + acy * bpy + acz * bpz;
    if (d3 >= 0 && d4 <= d3) return this.#take(t, p[b], p[b + 1], p[b + 2], x, y, z);
    const vc = d1 * d4 - d3 * d2;
    if (vc <= 0 && d1 >= 0 && d3 <= 0) {
      const v = d1 === d3 ? 0 : d1 / (d1 - d3);
      return this.#take(t, p[a] + v * abx, p[a + 1] + v * aby, p[a + 2] + v * abz, x, y, z);
    }
    const cpx = x - p[c];
    const cpy = y - p[c + 1];
    const cpz = z - p[c + 2];
    const d5 = abx * cpx + aby * cpy + abz * cpz;
    const d6 = acx * cpx + acy * cpy + acz * cpz;
    if (d6 >= 0 && d5 <= d6) return this.#take(t, p[c], p[c + 1], p[c + 2], x, y, z);
    const vb = d5 * d2 - d1 * d6;
    if (vb <= 0 && d2 >= 0 && d6 <= 0) {
      const w = d2 === d6 ? 0 : d2 / (d2 - d6);
      return this.#take(t, p[a] + w * acx, p[a + 1] + w * acy, p[a + 2] + w * acz, x, y, z);
    }
    const va = d3 * d6 - d5 * d4;
    if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
      const whole = d4 - d3 + (d5 - d6);
      const w = whole === 0 ? 0 : (d4 - d3) / whole;
      return this.#take(
        t,
        p[b] + w * (p[c] - p[b]),
        p[b + 1] + w * (p[c + 1] - p[b + 1]),
        p[b + 2] + w * (p[c + 2] - p[b + 2]),
        x,
        y,
        z,
      );
    }
    const sum = va + vb + vc;
    const v = vb / sum;
    const w = vc / sum;
    this.#take(t, p[a] + abx * v + acx * w, p[a + 1] + aby * v + acy * w, p[a + 2] + abz * v + acz * w, x, y, z);
  }

  #take(t: number, qx: number, qy: number, qz: number, x: number, y: number, z: number): void {
    const dx = qx - x;
    const dy = qy - y;
    const dz = qz - z;
    const square = dx * dx + dy * dy + dz * dz;
    if (!(square < this.square)) return;
    this.square = square;
    this.triangle = t;
    this.x = qx;
    this.y = qy;
    this.z = qz;
  }
}

function boxSquare(boxes: Float64Array, b: number, x: number, y: number, z: number): number {
  const dx = x < boxes[b] ? boxes[b] - x : x > boxes[b + 3] ? x - boxes[b + 3] : 0;
  const dy = y < boxes[b + 1] ? boxes[b + 1] - y : y > boxes[b + 4] ? y - boxes[b + 4] : 0;
  const dz = z < boxes[b + 2] ? boxes[b + 2] - z : z > boxes[b + 5] ? z - boxes[b + 5] : 0;
  return dx * dx + dy * dy + dz * dz;
}
