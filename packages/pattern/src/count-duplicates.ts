/** Triangles that are there more than once. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

export interface DuplicateCounts {
  /** Extra copies of triangles with the same three corners, whichever way round. */
  readonly duplicates: number;
  /** Of those, the ones that face the other way than the first copy: two skins back to back. */
  readonly opposite: number;
  /** A triangle that is an extra copy, or -1. */
  readonly first: number;
  /** 1 for every triangle that is an extra copy of an earlier one. */
  readonly isExtra: Uint8Array;
}

/**
 * Finds them from the edges: copies share the edge between their two lowest corners, so only triangles at the same edge
 * are compared. Cost: one linear pass.
 */
export function countDuplicates(triangles: Uint32Array, edges: EdgeTable): DuplicateCounts {
  const { halfEdges, starts, count } = edges;
  const isExtra = new Uint8Array(triangles.length / 3);
  let duplicates = 0;
  let opposite = 0;
  let first = -1;
  for (let e = 0; e < count; e++) {
    const to = starts[e + 1];
    if (to - starts[e] < 2) continue;
    let seen: Map<number, number> | undefined;
    for (let i = starts[e]; i < to; i++) {
      const h = halfEdges[i];
      const tip = tipOf(triangles, h);
      // Each triangle counts at one of its edges only: the one opposite its highest corner.
      if (tip < triangles[h] || tip < triangles[nextHalfEdge(h)]) continue;
      if (to - starts[e] > 8) {
        // Rare: an edge with a whole sheaf of triangles.
        seen ??= new Map();
        const earlier = seen.get(tip);
        if (earlier === undefined) seen.set(tip, h);
        else note(h, earlier);
        continue;
      }
      for (let j = starts[e]; j < i; j++) {
        if (tipOf(triangles, halfEdges[j]) === tip) {
          note(h, halfEdges[j]);
          break;
        }
      }
    }
  }
  return { duplicates, opposite, first, isExtra };

  function note(h: number, earlier: number): void {
    if (duplicates++ === 0) first = (h / 3) | 0;
    if (triangles[h] !== triangles[earlier]) opposite++;
    isExtra[(h / 3) | 0] = 1;
  }
}

function tipOf(triangles: Uint32Array, h: number): number {
  return triangles[nextHalfEdge(nextHalfEdge(h))];
}
