/**
 * Where the fine detail of a surface is and which way it looks. Relief, lettering and creases bend out and in again within a
 * short distance; the edges and swellings of the shape itself bend one way only. So bends are added up with their sign in
 * cells of a small size, and what cancels there is fine detail.
 *
 * The bend at a corner is how fast the area round it grows when the corner moves outwards: one pass over the triangles, no
 * edges needed, and on a smooth surface it tends to twice the mean curvature times the area, however it is meshed.
 */
import { dot, forEachStretch, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { SurfaceSurvey } from './survey-surface.js';
import type { SideFigures } from './which-side-up.js';
import { faceNormal } from './face-normal.js';

/** Cells across the pattern: bends further apart than a thirtieth of it or so are shape, not detail (no source). */
const ACROSS = 24;
/** A share of all bends under this is rounding. */
const NOTHING = 1e-9;

/**
 * Finds fine detail. On a scan its noise counts as detail too, but looks every way alike.
 *
 * @returns Its share of all bends, and its mean normal times that share. Cost: one pass over the triangles and two over the
 *   corners, about 50 ns each.
 */
export function findFineDetail(
  pattern: Pattern,
  survey: Pick<SurfaceSurvey, 'centroid' | 'size'>,
): Pick<SideFigures, 'detail' | 'detailShare'> {
  const { positions } = pattern;
  const { bends, normals } = bendsOf(pattern);
  const cells = new CellGrid(survey.centroid, survey.size / ACROSS, ACROSS);
  forEachStretch(bends.length, (from, to) => gatherBends(cells, positions, bends, from, to));
  const sums = new Float64Array(5);
  forEachStretch(bends.length, (from, to) => addCancelled(cells, positions, bends, normals, from, to, sums));
  const [all, fine, ...detail] = sums;
  const share = all > 0 ? fine / all : 0;
  if (share < NOTHING) return { detailShare: 0, detail: [0, 0, 0] };
  const mean: Vec3 = [detail[0] / all, detail[1] / all, detail[2] / all];
  return { detailShare: share, detail: dot(mean, mean) < NOTHING ** 2 ? [0, 0, 0] : mean };
}

function gatherBends(cells: CellGrid, positions: Float64Array, bends: Float64Array, from: number, to: number): void {
  for (let i = from; i < to; i++) {
    cells.moveTo(positions[3 * i], positions[3 * i + 1], positions[3 * i + 2]);
    cells.add(bends[i]);
  }
}

/** Adds to `sums` the bends of some corners, what of them is cancelled by others near by, and which way that looks, x y z. */
function addCancelled(
  cells: CellGrid,
  positions: Float64Array,
  bends: Float64Array,
  normals: Float64Array,
  from: number,
  to: number,
  sums: Float64Array,
): void {
  for (let i = from; i < to; i++) {
    const bend = Math.abs(bends[i]);
    if (bend === 0) continue;
    cells.moveTo(positions[3 * i], positions[3 * i + 1], positions[3 * i + 2]);
    const part = bend * cells.cancelled();
    sums[0] += bend;
    sums[1] += part;
    sums[2] += part * normals[3 * i];
    sums[3] += part * normals[3 * i + 1];
    sums[4] += part * normals[3 * i + 2];
  }
}

/** Bend at every corner, positive where the surface is convex, mm, and its unit normal; 0 where there is no surface. */
function bendsOf({ positions, triangles }: Pattern): { bends: Float64Array; normals: Float64Array } {
  const normals = new Float64Array(positions.length);
  const grows = new Float64Array(positions.length);
  forEachStretch(triangles.length / 3, (from, to) => bendPiece(positions, triangles, from, to, normals, grows));
  const bends = new Float64Array(positions.length / 3);
  for (let p = 0; p < positions.length; p += 3) {
    const [x, y, z] = [normals[p], normals[p + 1], normals[p + 2]];
    const size = Math.sqrt(x * x + y * y + z * z);
    if (!(size > 0)) continue;
    for (let k = 0; k < 3; k++) normals[p + k] /= size;
    bends[p / 3] = grows[p] * normals[p] + grows[p + 1] * normals[p + 1] + grows[p + 2] * normals[p + 2];
  }
  return { bends, normals };
}

/** Adds what some faces do to their corners. */
function bendPiece(
  positions: Float64Array,
  triangles: Uint32Array,
  from: number,
  to: number,
  normals: Float64Array,
  grows: Float64Array,
): void {
  const face = new Float64Array(4);
  for (let i = from, t = 3 * from; i < to; i++, t += 3) {
    const twice = faceNormal(positions, triangles, i, face);
    if (!(twice > 0)) continue;
    const a = 3 * triangles[t];
    const b = 3 * triangles[t + 1];
    const c = 3 * triangles[t + 2];
    bendCorner(positions, a, b, c, face, twice, normals, grows);
    bendCorner(positions, b, c, a, face, twice, normals, grows);
    bendCorner(positions, c, a, b, face, twice, normals, grows);
  }
}

/** Adds what a face does to its corner `p`: its normal, and how the area grows, by half the side across from `q` to `r`, square to it. */
function bendCorner(
  positions: Float64Array,
  p: number,
  q: number,
  r: number,
  face: Float64Array,
  twice: number,
  normals: Float64Array,
  grows: Float64Array,
): void {
  const nx = face[0];
  const ny = face[1];
  const nz = face[2];
  const per = 1 / (2 * twice);
  const x = (positions[r] - positions[q]) * per;
  const y = (positions[r + 1] - positions[q + 1]) * per;
  const z = (positions[r + 2] - positions[q + 2]) * per;
  normals[p] += nx;
  normals[p + 1] += ny;
  normals[p + 2] += nz;
  grows[p] += ny * z - nz * y;
  grows[p + 1] += nz * x - nx * z;
  grows[p + 2] += nx * y - ny * x;
}

/** Sums in cells whose contents fade into the next, so that nothing jumps where a cell ends. */
class CellGrid {
  readonly #sums: Float64Array;
  readonly #sizes: Float64Array;
  readonly #side: number;
  readonly #nodes: Int32Array = new Int32Array(8);
  readonly #weights: Float64Array = new Float64Array(8);
  readonly #low: Vec3;
  readonly #step: number;

  constructor(centre: Vec3, step: number, across: number) {
    // A node on the centre, so that what is symmetric about it is seen so.
    const half = Math.ceil(across / 2) + 1;
    this.#side = 2 * half + 1;
    this.#step = step;
    this.#low = [centre[0] - half * step, centre[1] - half * step, centre[2] - half * step];
    this.#sums = new Float64Array(this.#side ** 3);
    this.#sizes = new Float64Array(this.#side ** 3);
  }

  moveTo(x: number, y: number, z: number): void {
    const [nodes, weights, side, step, low] = [this.#nodes, this.#weights, this.#side, this.#step, this.#low];
    const px = step > 0 ? (x - low[0]) / step : 0;
    const py = step > 0 ? (y - low[1]) / step : 0;
    const pz = step > 0 ? (z - low[2]) / step : 0;
    const last = side - 2;
    const ix = Math.max(0, Math.min(last, Math.floor(px)));
    const iy = Math.max(0, Math.min(last, Math.floor(py)));
    const iz = Math.max(0, Math.min(last, Math.floor(pz)));
    const first = (iz * side + iy) * side + ix;
    for (let k = 0; k < 8; k++) {
      const dx = k & 1;
      const dy = (k >> 1) & 1;
      const dz = k >> 2;
      nodes[k] = first + (dz * side + dy) * side + dx;
      const wx = dx === 1 ? px - ix : 1 - px + ix;
      const wy = dy === 1 ? py - iy : 1 - py + iy;
      const wz = dz === 1 ? pz - iz : 1 - pz + iz;
      weights[k] = wx * wy * wz;
    }
  }

  add(value: number): void {
    const [nodes, weights, sums, sizes] = [this.#nodes, this.#weights, this.#sums, this.#sizes];
    const size = Math.abs(value);
    for (let k = 0; k < 8; k++) {
      sums[nodes[k]] += weights[k] * value;
      sizes[nodes[k]] += weights[k] * size;
    }
  }

  /** Share of what lies here that is met by as much of the other sign, 0–1. */
  cancelled(): number {
    const [nodes, weights, sums, sizes] = [this.#nodes, this.#weights, this.#sums, this.#sizes];
    let part = 0;
    for (let k = 0; k < 8; k++) {
      const size = sizes[nodes[k]];
      if (size > 0) part += weights[k] * (1 - Math.abs(sums[nodes[k]]) / size);
    }
    return part;
  }
}
