/**
 * Which way the faces of a pattern look, in the order of where on the sphere that is: then what is near a direction, or near
 * the great circle about one, is found without going over all of them.
 */
import { forEachStretch, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { faceNormal } from './face-normal.js';

/** Cells along each edge of the cube on which directions are put in order; a cell is about 5° wide. */
const ALONG_EDGE = 18;
const CELLS = 6 * ALONG_EDGE * ALONG_EDGE;
/** For the rounding of where a cell ends. */
const HAIR = 1e-9;

/** Directions of unit length, three numbers each, and how much looks there. */
export interface Facing {
  readonly normals: Float64Array;
  readonly areas: Float64Array;
  readonly total: number;
}

/** All faces that have an area, cell by cell; areas are twice the faces'. Those of cell `c` are from `starts[c]` up to `starts[c + 1]`. */
export interface FacingByCell extends Facing {
  readonly starts: Uint32Array;
}

/** Lists all faces of a pattern. Cost: one pass over the triangles and one over the list. Memory: 64 bytes a triangle, half of it for a moment. */
export function listFacing({ positions, triangles }: Pattern): FacingByCell {
  const count = triangles.length / 3;
  const unsorted = new Float64Array(4 * count);
  const cells = new Uint16Array(count);
  const starts = new Uint32Array(CELLS + 1);
  let total = 0;
  forEachStretch(count, (from, to) => {
    total += listPiece(positions, triangles, from, to, unsorted, cells);
    countPiece(unsorted, cells, from, to, starts);
  });
  for (let cell = 0; cell < CELLS; cell++) starts[cell + 1] += starts[cell];
  const next = starts.slice();
  const normals = new Float64Array(3 * starts[CELLS]);
  const areas = new Float64Array(starts[CELLS]);
  forEachStretch(count, (from, to) => sortPiece(unsorted, cells, from, to, next, normals, areas));
  return { normals, areas, total, starts };
}

/** Writes normals, areas and cells of some faces as they come; returns the area of them all. */
function listPiece(
  positions: Float64Array,
  triangles: Uint32Array,
  from: number,
  to: number,
  unsorted: Float64Array,
  cells: Uint16Array,
): number {
  const n = new Float64Array(4);
  let total = 0;
  for (let face = from; face < to; face++) {
    const area = faceNormal(positions, triangles, face, n);
    if (!(area > 0)) continue;
    total += area;
    const at = 4 * face;
    unsorted[at] = n[0] / area;
    unsorted[at + 1] = n[1] / area;
    unsorted[at + 2] = n[2] / area;
    unsorted[at + 3] = area;
    cells[face] = cellOf(n[0], n[1], n[2]);
  }
  return total;
}

function countPiece(unsorted: Float64Array, cells: Uint16Array, from: number, to: number, starts: Uint32Array): void {
  for (let face = from; face < to; face++) if (unsorted[4 * face + 3] > 0) starts[cells[face] + 1]++;
}

function sortPiece(
  unsorted: Float64Array,
  cells: Uint16Array,
  from: number,
  to: number,
  next: Uint32Array,
  normals: Float64Array,
  areas: Float64Array,
): void {
  for (let face = from, at = 4 * from; face < to; face++, at += 4) {
    if (!(unsorted[at + 3] > 0)) continue;
    const place = next[cells[face]]++;
    normals[3 * place] = unsorted[at];
    normals[3 * place + 1] = unsorted[at + 1];
    normals[3 * place + 2] = unsorted[at + 2];
    areas[place] = unsorted[at + 3];
  }
}

/** Each cell as one: the mean direction of what is in it, and all its area. */
export function gatherByCell({ normals, areas, total, starts }: FacingByCell): Facing {
  const sums = new Float64Array(4 * CELLS);
  let count = 0;
  for (let cell = 0; cell < CELLS; cell++) {
    if (starts[cell] < starts[cell + 1]) addUp(normals, areas, starts[cell], starts[cell + 1], sums, 4 * count++);
  }
  const means = new Float64Array(3 * count);
  const together = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    const size = Math.hypot(sums[4 * i], sums[4 * i + 1], sums[4 * i + 2]) || 1;
    for (let k = 0; k < 3; k++) means[3 * i + k] = sums[4 * i + k] / size;
    together[i] = sums[4 * i + 3];
  }
  return { normals: means, areas: together, total };
}

/** Adds up area vectors and areas of a stretch. */
function addUp(
  normals: Float64Array,
  areas: Float64Array,
  from: number,
  to: number,
  sums: Float64Array,
  at: number,
): void {
  let [x, y, z, sum] = [0, 0, 0, 0];
  for (let i = from; i < to; i++) {
    const area = areas[i];
    x += area * normals[3 * i];
    y += area * normals[3 * i + 1];
    z += area * normals[3 * i + 2];
    sum += area;
  }
  sums[at] = x;
  sums[at + 1] = y;
  sums[at + 2] = z;
  sums[at + 3] = sum;
}

/**
 * The stretches of a list in which everything is that looks within `band` of a circle about an axis; `height` is where the
 * circle lies along the axis, both as sines. Whole cells are taken, so what is in them must be looked at again.
 *
 * @returns Where each begins and ends, in turn.
 */
export function nearCircle({ starts }: FacingByCell, [x, y, z]: Vec3, height: number, band: number): number[] {
  const stretches: number[] = [];
  for (let cell = 0; cell < CELLS; cell++) {
    const [from, to] = [starts[cell], starts[cell + 1]];
    if (from === to) continue;
    const c = 4 * cell;
    const along = PLACES[c] * x + PLACES[c + 1] * y + PLACES[c + 2] * z;
    if (Math.abs(along - height) >= band + PLACES[c + 3]) continue;
    if (stretches.at(-1) === from) stretches[stretches.length - 1] = to;
    else stretches.push(from, to);
  }
  return stretches;
}

/** The cell of a direction, of any length, on the faces of a cube. */
function cellOf(x: number, y: number, z: number): number {
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  const az = Math.abs(z);
  if (ax >= ay && ax >= az) return cellAt(x < 0 ? 1 : 0, y / ax, z / ax);
  if (ay >= az) return cellAt(y < 0 ? 3 : 2, x / ay, z / ay);
  return cellAt(z < 0 ? 5 : 4, x / az, y / az);
}

function cellAt(side: number, p: number, q: number): number {
  return (side * ALONG_EDGE + placeOf(p)) * ALONG_EDGE + placeOf(q);
}

/** The cell of a place from −1 to 1 along an edge of the cube. */
function placeOf(value: number): number {
  return Math.min(ALONG_EDGE - 1, Math.floor(((value + 1) / 2) * ALONG_EDGE));
}

/** The middle of each cell on the sphere, x y z, and how far away its furthest corner is. */
const PLACES: Float64Array = /* @__PURE__ */ placesOfCells();

function placesOfCells(): Float64Array {
  const places = new Float64Array(4 * CELLS);
  for (let cell = 0; cell < CELLS; cell++) {
    const side = Math.floor(cell / (ALONG_EDGE * ALONG_EDGE));
    const p = Math.floor(cell / ALONG_EDGE) % ALONG_EDGE;
    const q = cell % ALONG_EDGE;
    const [x, y, z] = onSphere(side, p + 0.5, q + 0.5);
    let reach = 0;
    for (const [dp, dq] of [
      [0, 0],
      [0, 1],
      [1, 0],
      [1, 1],
    ]) {
      const [cx, cy, cz] = onSphere(side, p + dp, q + dq);
      reach = Math.max(reach, Math.hypot(cx - x, cy - y, cz - z));
    }
    places.set([x, y, z, reach + HAIR], 4 * cell);
  }
  return places;
}

/** A place on a side of the cube, counted in cells, put on the sphere. */
function onSphere(side: number, p: number, q: number): Vec3 {
  const [a, b] = [(2 * p) / ALONG_EDGE - 1, (2 * q) / ALONG_EDGE - 1];
  const size = Math.hypot(1, a, b);
  const out = (side % 2 === 0 ? 1 : -1) / size;
  if (side < 2) return [out, a / size, b / size];
  return side < 4 ? [a / size, out, b / size] : [a / size, b / size, out];
}
