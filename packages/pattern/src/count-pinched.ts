/** Corners at which several fans of triangles meet in a point. */
import { nextHalfEdge, type EdgeTable } from './list-edges.js';

/** Corner numbers of all pinched corners. Cost: O(m). */
export function findPinched(triangles: Uint32Array, cornerCount: number, edges: EdgeTable): Uint32Array {
  // Every triangle has a place at each of its corners; places are joined where triangles share an edge at that corner.
  const parent = Uint32Array.from({ length: triangles.length }, (_, i) => i);
  const find = (i: number): number => {
    while (parent[i] !== i) {
      parent[i] = parent[parent[i]];
      i = parent[i];
    }
    return i;
  };
  const { halfEdges, starts, count } = edges;
  for (let e = 0; e < count; e++) {
    const first = halfEdges[starts[e]];
    for (let i = starts[e] + 1; i < starts[e + 1]; i++) {
      const other = halfEdges[i];
      const same = triangles[first] === triangles[other];
      parent[find(same ? other : nextHalfEdge(other))] = find(first);
      parent[find(same ? nextHalfEdge(other) : other)] = find(nextHalfEdge(first));
    }
  }
  const fans = new Uint32Array(cornerCount);
  for (let h = 0; h < halfEdges.length; h++) {
    const place = halfEdges[h];
    if (find(place) === place) fans[triangles[place]]++;
  }
  const pinched: number[] = [];
  for (let corner = 0; corner < cornerCount; corner++) if (fans[corner] > 1) pinched.push(corner);
  return Uint32Array.from(pinched);
}
