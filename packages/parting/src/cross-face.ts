/** How far a parting line runs across a face, its edges not counted: what would leave a mark on it. */
import { dot, length, scale, subtract, add, type Vec3 } from '@oddside/core';
import { nextHalfEdge, type Pattern, type SurfacePlace } from '@oddside/pattern';
import type { PartingLine } from './parting-line.js';
import type { PickedFace } from './pick-face.js';

/** The line is known to about a column; so near the edge of a face it counts as running along it. */
const EDGE_COLUMNS = 1.5;

/**
 * Length of the line on a face, mm. Cost: some microseconds for every column of the line's length, and for each of those that
 * lie on the face one pass over its edges.
 */
export function lengthAcross(
  pattern: Pattern,
  line: Pick<PartingLine, 'loops' | 'column' | 'noise'>,
  face: PickedFace,
  nearest: (point: Vec3) => SurfacePlace,
): number {
  const inside = new Set(face.triangles);
  const border = borderOf(pattern, inside);
  const edge = EDGE_COLUMNS * line.column;
  const onFace = (point: Vec3): boolean => {
    const { triangle, distance } = nearest(point);
    return (
      inside.has(triangle) &&
      distance <= line.column + line.noise.band &&
      border.every(([a, b]) => distanceToPiece(point, a, b) > edge)
    );
  };
  let sum = 0;
  for (const { points } of line.loops) {
    for (let i = 0; i < points.length; i += 3) {
      const j = (i + 3) % points.length;
      const from: Vec3 = [points[i], points[i + 1], points[i + 2]];
      const way = subtract([points[j], points[j + 1], points[j + 2]], from);
      const pieces = Math.max(1, Math.ceil(length(way) / line.column));
      for (let k = 0; k < pieces; k++) {
        if (onFace(add(from, scale(way, (k + 0.5) / pieces)))) sum += length(way) / pieces;
      }
    }
  }
  return sum;
}

/** Edges of a face that it does not share with itself. */
function borderOf({ positions, triangles }: Pattern, inside: ReadonlySet<number>): [Vec3, Vec3][] {
  const seen = new Map<string, [number, number] | null>();
  for (const t of inside) {
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const [a, b] = [triangles[h], triangles[nextHalfEdge(h)]];
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      seen.set(key, seen.has(key) ? null : [a, b]);
    }
  }
  const at = (corner: number): Vec3 => [positions[3 * corner], positions[3 * corner + 1], positions[3 * corner + 2]];
  return [...seen.values()].filter((ends) => ends !== null).map(([a, b]) => [at(a), at(b)]);
}

function distanceToPiece(point: Vec3, a: Vec3, b: Vec3): number {
  const way = subtract(b, a);
  const square = dot(way, way);
  const part = square > 0 ? Math.max(0, Math.min(1, dot(subtract(point, a), way) / square)) : 0;
  return length(subtract(point, add(a, scale(way, part))));
}
