/** Is a point in the metal? Asked of the mesh by the faces over it, found on a grid over the plan. */
import type { FramedMesh } from './draw-frame.js';

/** Answers whether a point of the frame lies in the solid that a closed mesh bounds. */
export type MetalAt = (x: number, y: number, z: number) => boolean;

/** Prepares the question. Cost: one pass over the faces; each answer a few faces of one cell. */
export function metalAt({ points: p, triangles, box }: FramedMesh): MetalAt {
  const side = Math.max(box.max[0] - box.min[0], box.max[1] - box.min[1], 1e-30);
  const cells = Math.max(8, Math.min(512, Math.ceil(Math.sqrt(triangles.length / 6))));
  const cellOf = (value: number, from: number): number =>
    Math.max(0, Math.min(cells - 1, Math.floor(((value - from) * cells) / side)));
  const lists: number[][] = Array.from({ length: cells * cells }, () => []);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const [i0, i1] = [Math.min(p[a], p[b], p[c]), Math.max(p[a], p[b], p[c])].map((x) => cellOf(x, box.min[0]));
    const [j0, j1] = [Math.min(p[a + 1], p[b + 1], p[c + 1]), Math.max(p[a + 1], p[b + 1], p[c + 1])].map((y) =>
      cellOf(y, box.min[1]),
    );
    for (let j = j0; j <= j1; j++) for (let i = i0; i <= i1; i++) lists[j * cells + i].push(t);
  }
  return (x, y, z) => {
    if (x < box.min[0] || x > box.max[0] || y < box.min[1] || y > box.max[1]) return false;
    let winding = 0;
    for (const t of lists[cellOf(y, box.min[1]) * cells + cellOf(x, box.min[0])]) {
      winding += crossing(p, triangles, t, x, y, z);
    }
    return winding > 0;
  };
}

/** 1 where a face that looks up lies over the point, -1 for one that looks down, else 0. Edges belong to one face only. */
function crossing(p: Float32Array, triangles: Uint32Array, t: number, x: number, y: number, z: number): number {
  const corners = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
  const [a, b, c] = corners;
  const twice = (p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]);
  if (twice === 0) return 0;
  let inside = false;
  for (let k = 0; k < 3; k++) {
    const [q, r] = [corners[k], corners[(k + 1) % 3]];
    if (p[q + 1] > y === p[r + 1] > y) continue;
    // Both faces of an edge must find the same place on it, so it is worked out from its lower corner.
    const [low, high] = p[q + 1] < p[r + 1] ? [q, r] : [r, q];
    if (x < p[low] + ((y - p[low + 1]) * (p[high] - p[low])) / (p[high + 1] - p[low + 1])) inside = !inside;
  }
  if (!inside) return 0;
  const s = ((p[b + 1] - p[c + 1]) * (x - p[c]) + (p[c] - p[b]) * (y - p[c + 1])) / twice;
  const r = ((p[c + 1] - p[a + 1]) * (x - p[c]) + (p[a] - p[c]) * (y - p[c + 1])) / twice;
  const height = s * p[a + 2] + r * p[b + 2] + (1 - s - r) * p[c + 2];
  return height > z ? Math.sign(twice) : 0;
}
