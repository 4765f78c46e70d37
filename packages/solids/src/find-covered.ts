/** Which of some faces have another of them over their middle. */
import type { FramedMesh } from './draw-frame.js';

/** Of two faces nearer to each other in height than this many roundings, the first in the list counts as the higher. */
const LEVEL = 4;

/**
 * Finds the covered faces on a plan grid.
 *
 * @param faces Faces that all look ahead.
 * @param way 1: over means above; −1: below.
 * @returns For each face 1 where it is covered. Cost: each face's middle against the faces that share its cell.
 */
export function findCovered(
  { points: p, triangles, box, rounding }: FramedMesh,
  faces: Uint32Array,
  way: 1 | -1,
): Uint8Array {
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
  for (let k = 0; k < faces.length; k++) {
    const t = 3 * faces[k];
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const x = (p[a] + p[b] + p[c]) / 3;
    const y = (p[a + 1] + p[b + 1] + p[c + 1]) / 3;
    const z = (way * (p[a + 2] + p[b + 2] + p[c + 2])) / 3;
    const at = row(y) * nx + column(x);
    for (let e = starts[at]; e < starts[at + 1]; e++) {
      const other = list[e];
      if (other === k) continue;
      const height = heightOver(p, triangles, faces[other], x, y);
      if (Number.isNaN(height) || way * height < z - level) continue;
      if (way * height > z + level || other < k) {
        covered[k] = 1;
        break;
      }
    }
  }
  return covered;
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
