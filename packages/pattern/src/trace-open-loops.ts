/** The borders of the holes, each as a ring of half-edges. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

/** One border. */
export interface OpenLoop {
  /** Open half-edges in order around the border. */
  readonly halfEdges: Uint32Array;
  /** The corner at which each of them begins, in that order. */
  readonly corners: Uint32Array;
  /** False where the chain could not be followed back to its start, at an edge with more than two triangles. */
  readonly ring: boolean;
}

/** A chain while it is being followed: half-edges and the corner each begins at. */
interface Chain {
  readonly halfEdges: number[];
  readonly corners: number[];
}

/**
 * Follows the open edges around each hole. At a corner where several holes meet, the next edge is found by turning about
 * it through the triangles; a ring that passes a corner twice is then cut there, so that holes which only touch count
 * each.
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
    taken[first] = 1;
    const chain: Chain = { halfEdges: [first], corners: [triangles[first]] };
    if (follow(triangles, edges, edgeOf, taken, first, triangles[nextHalfEdge(first)], chain)) {
      cutIntoSimpleRings(chain, loops);
      continue;
    }
    const back: Chain = { halfEdges: [], corners: [] };
    follow(triangles, edges, edgeOf, taken, first, triangles[first], back);
    // Walked backwards, each edge ends where the walk began it.
    const backEnds = back.halfEdges.map((h, i) =>
      triangles[h] === back.corners[i] ? triangles[nextHalfEdge(h)] : triangles[h],
    );
    loops.push({
      halfEdges: Uint32Array.from([...back.halfEdges.toReversed(), ...chain.halfEdges]),
      corners: Uint32Array.from([...backEnds.toReversed(), ...chain.corners]),
      ring: false,
    });
  }
  return loops;
}

/** Cuts a ring wherever it passes a corner again. */
function cutIntoSimpleRings(chain: Chain, loops: OpenLoop[]): void {
  const halfEdges: number[] = [];
  const corners: number[] = [];
  const placeOf = new Map<number, number>();
  const take = (from: number): void => {
    loops.push({
      halfEdges: Uint32Array.from(halfEdges.splice(from)),
      corners: Uint32Array.from(corners.splice(from)),
      ring: true,
    });
  };
  for (let i = 0; i < chain.corners.length; i++) {
    const corner = chain.corners[i];
    const earlier = placeOf.get(corner);
    if (earlier !== undefined) {
      for (let j = earlier + 1; j < corners.length; j++) placeOf.delete(corners[j]);
      take(earlier);
    }
    placeOf.set(corner, corners.length);
    corners.push(corner);
    halfEdges.push(chain.halfEdges[i]);
  }
  take(0);
}

/** Goes on from the open half-edge `h` at its end `corner`. True when it came back to where it began. */
function follow(
  triangles: Uint32Array,
  edges: EdgeTable,
  edgeOf: Uint32Array,
  taken: Uint8Array,
  h: number,
  corner: number,
  chain: Chain,
): boolean {
  const first = h;
  for (;;) {
    const next = turnAbout(triangles, edges, edgeOf, h, corner);
    if (next === first) return true;
    if (next < 0 || taken[next]) return false;
    taken[next] = 1;
    chain.halfEdges.push(next);
    chain.corners.push(corner);
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
