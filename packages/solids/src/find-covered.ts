/** Which of some faces have another of them over them. */
import type { FramedMesh } from './draw-frame.js';

/** Of two faces nearer to each other in height than this many roundings, the first in the list counts as the higher. */
const LEVEL = 4;

/** Covered faces, told by points in each. */
export interface CoveredFaces {
  /** For each face 1 where another lies over its middle. */
  readonly covered: Uint8Array;
  /** Plan area of covered faces that seems to have none over it, mm²: by a point near each corner, so no more than a guess. */
  readonly openMm2: number;
}

/** How far from the middle towards a corner the points lie by which covered faces are judged once more. */
const TO_CORNER = 0.8;

/**
 * Finds the covered faces on a plan grid.
 *
 * @param faces Faces that all look ahead.
 * @param way 1: over means above; −1: below.
 * Cost: each face's middle against the faces that share its cell.
 */
export function findCovered(
  { points: p, triangles, box, rounding }: FramedMesh,
  faces: Uint32Array,
  way: 1 | -1,
): CoveredFaces {
  const covered = new Uint8Array(faces.length);
  const [wide, deep] = [box.max[0] - box.min[0], box.max[1] - box.min[1]];
  const cells = Math.max(4, Math.min(2048, Math.ceil(Math.sqrt(faces.length))));
  const perCell = cells / Math.max(wide, deep, 1e-30);
  const nx = Math.floor(wide * perCell) + 1;
  const ny = Math.floor(deep * perCell) + 1;
  const column = (x: number): number => ((x - box.min[0]) * perCell) | 0;
  const row = (y: number): number => ((y - box.min[1]) * perCell) | 0;
  const starts = new Uint32Array(nx * ny + 1);
  const overCells = (k: number, visit: (at: number, k: number) => void): void => {
    const t = 3 * faces[k];
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const [i0, i1] = [column(Math.min(p[a], p[b], p[c])), column(Math.max(p[a], p[b], p[c]))];
    const [j0, j1] = [row(Math.min(p[a + 1], p[b + 1], p[c + 1])), row(Math.max(p[a + 1], p[b + 1], p[c + 1]))];
    for (let j = j0; j <= j1; j++) for (let i = i0; i <= i1; i++) visit(j * nx + i, k);
  };
  const count = (at: number): number => starts[at + 1]++;
  for (let k = 0; k < faces.length; k++) overCells(k, count);
  for (let at = 0; at < nx * ny; at++) starts[at + 1] += starts[at];
  const places = starts.slice();
  const list = new Uint32Array(starts[nx * ny]);
  const enter = (at: number, k: number): number => (list[places[at]++] = k);
  for (let k = 0; k < faces.length; k++) overCells(k, enter);
  const level = LEVEL * rounding;
  const isUnder = (k: number, x: number, y: number, z: number): boolean => {
    const at = row(y) * nx + column(x);
    for (let e = starts[at]; e < starts[at + 1]; e++) {
      const other = list[e];
      if (other === k) continue;
      const above = way * (heightOver(p, triangles, faces[other], x, y) - z);
      if (above > level || (above >= -level && other < k)) return true;
    }
    return false;
  };
  let open = 0;
  for (let k = 0; k < faces.length; k++) {
    const t = 3 * faces[k];
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const x = (p[a] + p[b] + p[c]) / 3;
    const y = (p[a + 1] + p[b + 1] + p[c + 1]) / 3;
    const z = (p[a + 2] + p[b + 2] + p[c + 2]) / 3;
    if (!isUnder(k, x, y, z)) continue;
    covered[k] = 1;
    const area = Math.abs((p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a])) / 2;
    for (const corner of [a, b, c]) {
      const near = (from: number, axis: number): number => from + TO_CORNER * (p[corner + axis] - from);
      if (!isUnder(k, near(x, 0), near(y, 1), near(z, 2))) open += area / 3;
    }
  }
  return { covered, openMm2: open };
}

/** Height of a face over a place in plan, NaN where it does not lie there. */
function heightOver(p: Float32Array, triangles: Uint32Array, t: number, x: number, y: number): number {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const [ux, uy, vx, vy] = [p[b] - p[a], p[b + 1] - p[a + 1], p[c] - p[a], p[c + 1] - p[a + 1]];
  const twice = ux * vy - uy * vx;
  const s = ((x - p[a]) * vy - vx * (y - p[a + 1])) / twice;
  const r = (ux * (y - p[a + 1]) - (x - p[a]) * uy) / twice;
  if (!(s >= 0 && r >= 0 && s + r <= 1)) return NaN;
  return p[a + 2] + s * (p[b + 2] - p[a + 2]) + r * (p[c + 2] - p[a + 2]);
}
