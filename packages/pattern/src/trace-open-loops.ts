/** The borders of the holes, each as a ring of half-edges. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

/** One border. */
export interface OpenLoop {
  /** Open half-edges in order around the border. */
  readonly halfEdges: Uint32Array;
  /** False where the chain could not be followed back to its start, at an edge with more than two triangles. */
  readonly ring: boolean;
}

/**
 * Follows the open edges around each hole. Where several holes meet in one corner, the next edge is found by turning
 * about the corner through the triangles, so that holes which only touch stay apart.
 */
export function traceOpenLoops(triangles: Uint32Array, edges: EdgeTable): OpenLoop[] {
  const { halfEdges, starts, count } = edges;
  const open: number[] = [];
  for (let e = 0; e < count; e++) if (starts[e + 1] - starts[e] === 1) open.push(halfEdges[starts[e]]);
  if (open.length === 0) return [];
  const edgeOf = new Uint32Array(triangles.length);
  for (let e = 0; e < count; e++) {
    for (let i = starts[e]; i < starts[e + 1]; i++) edgeOf[halfEdges[i]] = e;
  }
  const taken = new Uint8Array(triangles.length);
  const loops: OpenLoop[] = [];
  for (const first of open) {
    if (taken[first]) continue;
    const forward = [first];
    taken[first] = 1;
    const ring = follow(triangles, edges, edgeOf, taken, first, triangles[nextHalfEdge(first)], forward);
    const backward: number[] = [];
    if (!ring) follow(triangles, edges, edgeOf, taken, first, triangles[first], backward);
    loops.push({ halfEdges: Uint32Array.from([...backward.toReversed(), ...forward]), ring });
  }
  return loops;
}

/** Goes on from the open half-edge `h` at its end `corner`. True when it came back to where it began. */
function follow(
  triangles: Uint32Array,
  edges: EdgeTable,
  edgeOf: Uint32Array,
  taken: Uint8Array,
  h: number,
  corner: number,
  chain: number[],
): boolean {
  const first = h;
  for (;;) {
    const next = turnAbout(triangles, edges, edgeOf, h, corner);
    if (next === first) return true;
    if (next < 0 || taken[next]) return false;
    taken[next] = 1;
    chain.push(next);
    h = next;
    corner = triangles[next] === corner ? triangles[nextHalfEdge(next)] : triangles[next];
  }
}

/** The open half-edge at the other end of the fan of triangles about `corner` that begins with `h`; -1 if there is none. */
function turnAbout(triangles: Uint32Array, edges: EdgeTable, edgeOf: Uint32Array, h: number, corner: number): number {
  const { halfEdges, starts } = edges;
  const first = h;
  for (;;) {
    h = otherSideAt(triangles, h, corner);
    const from = starts[edgeOf[h]];
    const size = starts[edgeOf[h] + 1] - from;
    if (size === 1) return h;
    if (size > 2) return -1;
    h = halfEdges[from] === h ? halfEdges[from + 1] : halfEdges[from];
    if (h === first) return -1;
  }
}

/** The other half-edge of the same triangle that touches `corner`. */
function otherSideAt(triangles: Uint32Array, h: number, corner: number): number {
  const next = nextHalfEdge(h);
  return triangles[h] === corner ? nextHalfEdge(next) : next;
}
