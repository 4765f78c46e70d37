/** The largest faces of a pattern's hull: on each of them it would lie on a board without rocking much. */
import { dot, radians, unitVector, type Steps, type Vec3 } from '@oddside/core';
import { hullSteps } from './hull-around.js';

/** Faces at most, and the least share of the hull's surface. */
const MOST = 6;
const LEAST_SHARE = 0.02;
/** Triangles of the hull that lean less than this against the largest of them are one face with it, degrees. */
const ONE_FACE_DEG = 2;

/** Finds normals of the largest faces, largest first. Cost: about 1 µs a corner, three times that where all lie on the hull. */
export function* restingFaceSteps(positions: Float64Array): Steps<Vec3[]> {
  const hull = yield* hullSteps(positions);
  if (!hull) return [];
  const { areas } = hull;
  const faces = Array.from({ length: areas.length / 3 }, (_, i): Vec3 => [
    areas[3 * i],
    areas[3 * i + 1],
    areas[3 * i + 2],
  ])
    .map((vector) => ({ vector, area: Math.hypot(...vector) }))
    .filter(({ area }) => area > 0)
    .sort((a, b) => b.area - a.area);
  const total = faces.reduce((sum, { area }) => sum + area, 0);
  const near = Math.cos(radians(ONE_FACE_DEG));
  const grouped: { lead: Vec3; sum: Vec3 }[] = [];
  for (const { vector, area } of faces) {
    const group = grouped.find(({ lead }) => dot(lead, vector) > near * area);
    if (group) group.sum = [group.sum[0] + vector[0], group.sum[1] + vector[1], group.sum[2] + vector[2]];
    else if (grouped.length < 8 * MOST) grouped.push({ lead: unitVector(vector), sum: vector });
  }
  return grouped
    .map(({ sum }) => ({ sum, area: Math.hypot(...sum) }))
    .filter(({ area }) => area >= LEAST_SHARE * total)
    .sort((a, b) => b.area - a.area)
    .slice(0, MOST)
    .map(({ sum }) => unitVector(sum));
}
