/**
 * Faces sorted into layers none of which overlaps or touches itself in plan, so that each layer can be drawn out along the draw as
 * one sound solid. The kernel unites different solids exactly but does not see where one solid overlaps itself.
 */
import type { FramedMesh } from './draw-frame.js';
import { labelPatches } from './part-touching.js';

/** Where a sweep ends over (or under) a corner. */
export interface SweepEnd {
  readonly upward: boolean;
  /** How far behind the faces it begins, mm. */
  readonly sink: number;
  heightOver(corner: number): number;
}

/**
 * Lays faces in layers. Faces over one another share a layer where what is drawn out from the one ends before the other.
 *
 * @param faces Triangles that all look the same way along the draw.
 * @param end Upward: the lowest layer is filled with the lowest faces; otherwise with the highest.
 * @returns Lists of triangles. As many as sweeps overlap at the worst place. Cost: each face is compared with those that
 * share a cell of a plan grid with it.
 */
export function layInLayers(mesh: FramedMesh, faces: Uint32Array, end: SweepEnd): Uint32Array[] {
  const { points, triangles } = mesh;
  const { upward } = end;
  const heights = new Float64Array(faces.length);
  const order = new Uint32Array(faces.length);
  for (let k = 0; k < faces.length; k++) {
    const t = faces[k];
    const z = (n: number): number => points[triangles[3 * t + n] * 3 + 2];
    heights[k] = upward ? Math.min(z(0), z(1), z(2)) : -Math.max(z(0), z(1), z(2));
    order[k] = k;
  }
  order.sort((i, j) => heights[i] - heights[j]);
  const patchOf = labelPatches(triangles, faces);
  const patches = new Map<number, number[]>();
  for (const k of order) {
    const patch = patches.get(patchOf[k]);
    if (patch) patch.push(faces[k]);
    else patches.set(patchOf[k], [faces[k]]);
  }
  const shelf = new Shelf(mesh, faces.length, end);
  const layers: number[][] = [];
  const note = (layer: number, face: number): void => {
    (layers[layer] ??= []).push(face);
  };
  // Whole patches, nearest first: where a patch is cut in two by layers, both get a wall at the same place, and walls face
  // to face are what the kernel takes longest over. Only what overlaps its own patch goes on alone.
  for (const patch of patches.values()) {
    const { layer, left } = shelf.putPatch(patch);
    const alone = new Set(left);
    for (const face of patch) if (!alone.has(face)) note(layer, face);
    for (const face of left) note(shelf.put(face), face);
  }
  return layers.map((list) => Uint32Array.from(list));
}

/** The layer of a face whose patch is still being laid. */
const NOT_YET = -1;

/** A plan grid of faces already laid, each with its layer. */
class Shelf {
  readonly #mesh: FramedMesh;
  readonly #end: SweepEnd;
  readonly #heads: Int32Array;
  #faces = new Int32Array(1024);
  #nexts = new Int32Array(1024);
  #used = 0;
  readonly #layerOf: Int32Array;
  /** Box of what is drawn out from each face, mm: lowest x, y, z, highest x, y, z. */
  readonly #boxes: Float32Array;
  /** For each layer the last face that found it taken. */
  readonly #takenBy: number[] = [];
  readonly #nx: number;
  readonly #ny: number;
  readonly #perCell: number;
  readonly #corners = new Float64Array(12);
  readonly #common = new Uint8Array(6);
  /** Faces nearer than this in plan count as touching, mm: twice what the kernel takes for one. */
  readonly #gap: number;

  constructor(mesh: FramedMesh, expected: number, end: SweepEnd) {
    this.#mesh = mesh;
    this.#end = end;
    this.#layerOf = new Int32Array(mesh.triangles.length / 3);
    this.#boxes = new Float32Array(6 * this.#layerOf.length);
    const { min, max } = mesh.box;
    this.#gap = 4 * mesh.rounding;
    const cells = Math.max(4, Math.min(1024, Math.ceil(Math.sqrt(expected))));
    const cell = Math.max(max[0] - min[0], max[1] - min[1], 1e-30) / cells;
    this.#nx = Math.max(1, Math.ceil((max[0] - min[0]) / cell));
    this.#ny = Math.max(1, Math.ceil((max[1] - min[1]) / cell));
    this.#perCell = 1 / cell;
    this.#heads = new Int32Array(this.#nx * this.#ny).fill(-1);
  }

  /** Lays a face in the first layer that has room for it, and says which. */
  put(face: number): number {
    this.#mark(face, face);
    const layer = this.#firstFree(face);
    this.#layerOf[face] = layer;
    this.#enterAll(face);
    return layer;
  }

  /** Lays faces that hang together in the first layer that has room for all of them, but for those left that meet others of them. */
  putPatch(patch: readonly number[]): { layer: number; left: number[] } {
    const first = patch[0];
    const left: number[] = [];
    const laid: number[] = [];
    for (const face of patch) {
      if (!this.#mark(face, first)) left.push(face);
      else {
        this.#layerOf[face] = NOT_YET;
        this.#enterAll(face);
        laid.push(face);
      }
    }
    const layer = this.#firstFree(first);
    for (const face of laid) this.#layerOf[face] = layer;
    return { layer, left };
  }

  /** Marks the layers in which a face meets another; false where it meets one that has no layer yet. */
  #mark(face: number, mark: number): boolean {
    this.#measure(face);
    const [i0, i1, j0, j1] = this.#cellsOf(face);
    for (let j = j0; j <= j1; j++) {
      for (let i = i0; i <= i1; i++) {
        for (let e = this.#heads[j * this.#nx + i]; e >= 0; e = this.#nexts[e]) {
          const other = this.#faces[e];
          const layer = this.#layerOf[other];
          if ((layer !== NOT_YET && this.#takenBy[layer] === mark) || !this.#meets(face, other)) continue;
          if (layer === NOT_YET) return false;
          this.#takenBy[layer] = mark;
        }
      }
    }
    return true;
  }

  #measure(face: number): void {
    const { points: p, triangles } = this.#mesh;
    const boxes = this.#boxes;
    const at = 6 * face;
    boxes.fill(Infinity, at, at + 3).fill(-Infinity, at + 3, at + 6);
    for (let k = 3 * face; k < 3 * face + 3; k++) {
      const corner = triangles[k];
      const far = this.#end.heightOver(corner);
      for (let axis = 0; axis < 3; axis++) {
        const value = p[3 * corner + axis];
        if (value < boxes[at + axis]) boxes[at + axis] = value;
        if (value > boxes[at + 3 + axis]) boxes[at + 3 + axis] = value;
      }
      if (far < boxes[at + 2]) boxes[at + 2] = far;
      if (far > boxes[at + 5]) boxes[at + 5] = far;
    }
  }

  /** True where the boxes of two sweeps are more than a gap apart. */
  #apart(one: number, other: number): boolean {
    const boxes = this.#boxes;
    const [a, b, gap] = [6 * one, 6 * other, this.#gap];
    for (let axis = 0; axis < 3; axis++) {
      if (boxes[a + axis] > boxes[b + 3 + axis] + gap || boxes[b + axis] > boxes[a + 3 + axis] + gap) return true;
    }
    return false;
  }

  #firstFree(mark: number): number {
    let layer = 0;
    while (this.#takenBy[layer] === mark) layer++;
    if (layer === this.#takenBy.length) this.#takenBy.push(-1);
    return layer;
  }

  #enterAll(face: number): void {
    const [i0, i1, j0, j1] = this.#cellsOf(face);
    for (let j = j0; j <= j1; j++) for (let i = i0; i <= i1; i++) this.#enter(j * this.#nx + i, face);
  }

  #enter(cell: number, face: number): void {
    if (this.#used === this.#faces.length) {
      const grown = (old: Int32Array): Int32Array<ArrayBuffer> => {
        const larger = new Int32Array(old.length * 2);
        larger.set(old);
        return larger;
      };
      this.#faces = grown(this.#faces);
      this.#nexts = grown(this.#nexts);
    }
    this.#faces[this.#used] = face;
    this.#nexts[this.#used] = this.#heads[cell];
    this.#heads[cell] = this.#used++;
  }

  #cellsOf(face: number): readonly [number, number, number, number] {
    const { points: p, triangles, box } = this.#mesh;
    const gap = this.#gap;
    const [a, b, c] = [triangles[3 * face] * 3, triangles[3 * face + 1] * 3, triangles[3 * face + 2] * 3];
    const place = (value: number, from: number, most: number): number =>
      Math.max(0, Math.min(most, Math.floor((value - from) * this.#perCell)));
    return [
      place(Math.min(p[a], p[b], p[c]) - gap, box.min[0], this.#nx - 1),
      place(Math.max(p[a], p[b], p[c]) + gap, box.min[0], this.#nx - 1),
      place(Math.min(p[a + 1], p[b + 1], p[c + 1]) - gap, box.min[1], this.#ny - 1),
      place(Math.max(p[a + 1], p[b + 1], p[c + 1]) + gap, box.min[1], this.#ny - 1),
    ];
  }

  /**
   * Do two faces overlap or touch in plan, with their sweeps beside one another? Faces that share an edge lie beside one another; faces that share a corner
   * must keep clear of each other but for that corner. Two walls face to face in one solid confuse the kernel.
   */
  #meets(one: number, other: number): boolean {
    if (this.#apart(one, other)) return false;
    const gap = this.#gap;
    const { points: p, triangles } = this.#mesh;
    const c = this.#corners;
    const common = this.#common;
    common.fill(0);
    for (let k = 0; k < 3; k++) {
      const a = triangles[3 * one + k];
      const b = triangles[3 * other + k];
      c[2 * k] = p[3 * a];
      c[2 * k + 1] = p[3 * a + 1];
      c[6 + 2 * k] = p[3 * b];
      c[7 + 2 * k] = p[3 * b + 1];
      for (let n = 0; n < 3; n++) {
        if (triangles[3 * other + n] === a) common[k] = common[3 + n] = 1;
      }
    }
    if (common[0] + common[1] + common[2] >= 2) return false;
    return !separated(c, common, 0, 3, gap) && !separated(c, common, 3, 0, gap);
  }
}

/**
 * True where one edge of the triangle `from` has the other wholly on its far side, a gap away but for a common corner. With
 * one, the edge must be one that meets there: a triangle reaches from a common corner across to beyond the edge opposite.
 */
function separated(c: Float64Array, common: Uint8Array, from: number, other: number, gap: number): boolean {
  const opposite = common[from] === 1 ? 1 : common[from + 1] === 1 ? 2 : common[from + 2] === 1 ? 0 : -1;
  for (let k = 0; k < 3; k++) {
    if (k === opposite) continue;
    const a = 2 * (from + k);
    const b = 2 * (from + ((k + 1) % 3));
    const o = 2 * (from + ((k + 2) % 3));
    const ex = c[b] - c[a];
    const ey = c[b + 1] - c[a + 1];
    const side = (i: number): number => ex * (c[i + 1] - c[a + 1]) - ey * (c[i] - c[a]);
    const inward = side(o) > 0 ? 1 : -1;
    const most = -gap * Math.sqrt(ex * ex + ey * ey);
    let clear = true;
    for (let n = 0; n < 3 && clear; n++) clear = common[other + n] === 1 || inward * side(2 * (other + n)) < most;
    if (clear) return true;
  }
  return false;
}
