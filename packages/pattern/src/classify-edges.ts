/** Counts of what is wrong at the edges of a mesh. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

export interface EdgeCounts {
  /** Edges with one triangle: the border of a hole. */
  readonly open: number;
  /** Edges with more than two triangles. */
  readonly nonManifold: number;
  /** Edges whose two triangles run along them the same way: their outsides disagree. */
  readonly flipped: number;
  /** Edges not run along equally often both ways. Zero means that the surface encloses a well-defined volume. */
  readonly unbalanced: number;
  /** One half-edge of the first of each kind, or -1: a place to point at. */
  readonly firstOpen: number;
  readonly firstNonManifold: number;
  readonly firstFlipped: number;
}

/** Goes once through the edges. */
export function classifyEdges(triangles: Uint32Array, edges: EdgeTable): EdgeCounts {
  const { halfEdges, starts, count } = edges;
  let open = 0;
  let nonManifold = 0;
  let flipped = 0;
  let unbalanced = 0;
  let firstOpen = -1;
  let firstNonManifold = -1;
  let firstFlipped = -1;
  for (let e = 0; e < count; e++) {
    const from = starts[e];
    const size = starts[e + 1] - from;
    if (size === 2) {
      if (triangles[halfEdges[from]] === triangles[halfEdges[from + 1]]) {
        if (flipped++ === 0) firstFlipped = halfEdges[from];
        unbalanced++;
      }
    } else if (size === 1) {
      if (open++ === 0) firstOpen = halfEdges[from];
      unbalanced++;
    } else {
      if (nonManifold++ === 0) firstNonManifold = halfEdges[from];
      let up = 0;
      for (let i = from; i < from + size; i++) {
        const h = halfEdges[i];
        up += triangles[h] < triangles[nextHalfEdge(h)] ? 1 : -1;
      }
      if (up !== 0) unbalanced++;
    }
  }
  return { open, nonManifold, flipped, unbalanced, firstOpen, firstNonManifold, firstFlipped };
}
