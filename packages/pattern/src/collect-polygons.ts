/** From corners and polygons of any size to a mesh. Shared by OBJ and PLY. */
import { TriangleCollector } from './collect-triangles.js';
import { cutPolygon } from './cut-polygons.js';
import type { GrowingArray } from './grow-array.js';
import type { RawMesh } from './raw-mesh.js';
import { isCoordinate } from './raw-mesh.js';
import type { Steps } from '@oddside/core';

/** Polygons one after the other: polygon `i` has the corners `corners[ends[i - 1]]` up to `corners[ends[i]]`. */
export interface Polygons {
  readonly corners: GrowingArray<Int32Array>;
  readonly ends: GrowingArray<Int32Array>;
}

const BATCH = 20000;

/** Cuts the polygons, welds the corners, counts what is unusable. A polygon with one bad corner is left out as a whole. */
export function* collectPolygons(
  positions: Float64Array,
  count: number,
  polygons: Polygons,
): Steps<Pick<RawMesh, 'positions' | 'triangles' | 'findings'>> {
  const { corners, ends } = polygons;
  const collector = new TriangleCollector(corners.length - 2 * ends.length);
  collector.startPart({ positions, count });
  const add = (a: number, b: number, c: number): void => collector.add(a, b, c);
  for (let first = 0; first < ends.length; first += BATCH) {
    for (let i = first; i < Math.min(first + BATCH, ends.length); i++) {
      const from = i === 0 ? 0 : ends.data[i - 1];
      const size = ends.data[i] - from;
      const at = corners.data;
      if (size === 3) add(at[from], at[from + 1], at[from + 2]);
      else if (allUsable(positions, count, at, from, size)) cutPolygon(positions, at.subarray(from, from + size), add);
      else addFan(at, from, size, add, positions, count);
    }
    yield first / ends.length;
  }
  return collector.finish();
}

function allUsable(positions: Float64Array, count: number, corners: Int32Array, from: number, size: number): boolean {
  for (let i = from; i < from + size; i++) if (!isUsable(positions, count, corners[i])) return false;
  return true;
}

function isUsable(positions: Float64Array, count: number, corner: number): boolean {
  if (corner < 0 || corner >= count) return false;
  return (
    isCoordinate(positions[corner * 3]) &&
    isCoordinate(positions[corner * 3 + 1]) &&
    isCoordinate(positions[corner * 3 + 2])
  );
}

/** Hands every triangle of an unusable polygon to the collector with its bad corner, so that all are counted as dropped. */
function addFan(
  corners: Int32Array,
  from: number,
  size: number,
  add: (a: number, b: number, c: number) => void,
  positions: Float64Array,
  count: number,
): void {
  let bad = corners[from];
  for (let i = from; i < from + size; i++) {
    if (!isUsable(positions, count, corners[i])) {
      bad = corners[i];
      break;
    }
  }
  for (let i = 0; i < size - 2; i++) add(bad, bad, bad);
}
