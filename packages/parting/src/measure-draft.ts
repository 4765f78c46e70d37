/**
 * How much taper the surfaces have along a draw: the area of the pattern by draft angle, and the area short of what was
 * asked. Draft is the angle between a face and the draw; 0° is a wall parallel to it, 90° a face square to it. Whether a
 * face leans the right way is told by the columns (back draft), not here.
 */
import { degrees, radians, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';

/** Area of a pattern by draft along one draw. */
export interface DraftMeasures {
  /** Draft asked for, degrees. */
  readonly requiredDeg: number;
  /** Area with less than the draft asked for, and its share of the whole surface (0–1). */
  readonly shallowAreaMm2: number;
  readonly shallowShare: number;
  /** Least draft of the steepest tenth of the surface by area, degrees. */
  readonly tenthDeg: number;
  /** Area in each whole degree of draft, 90 values; the first is 0–1°. */
  readonly areaByDegreeMm2: readonly number[];
}

/** Measures the draft of every face. Cost: one pass over the triangles, about 25 ns each. */
export function measureDraft(pattern: Pattern, direction: Vec3, requiredDeg: number): DraftMeasures {
  const { positions, triangles } = pattern;
  const [dx, dy, dz] = direction;
  const limit = Math.sin(radians(requiredDeg));
  const byDegree = new Float64Array(90);
  let total = 0;
  let shallow = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t]! * 3;
    const b = triangles[t + 1]! * 3;
    const c = triangles[t + 2]! * 3;
    const ax = positions[a]!;
    const ay = positions[a + 1]!;
    const az = positions[a + 2]!;
    const ex = positions[b]! - ax;
    const ey = positions[b + 1]! - ay;
    const ez = positions[b + 2]! - az;
    const fx = positions[c]! - ax;
    const fy = positions[c + 1]! - ay;
    const fz = positions[c + 2]! - az;
    const nx = ey * fz - ez * fy;
    const ny = ez * fx - ex * fz;
    const nz = ex * fy - ey * fx;
    const twice = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (!(twice > 0)) continue;
    const sine = Math.min(1, Math.abs(nx * dx + ny * dy + nz * dz) / twice);
    total += twice;
    if (sine < limit) shallow += twice;
    const bin = Math.floor(degrees(Math.asin(sine)));
    byDegree[bin < 90 ? bin : 89]! += twice;
  }
  const areaByDegreeMm2 = Array.from(byDegree, (twice) => twice / 2);
  let tenthDeg = 0;
  for (let sum = 0; tenthDeg < 90; tenthDeg++) {
    sum += byDegree[tenthDeg]!;
    if (sum > total / 10) break;
  }
  return {
    requiredDeg,
    shallowAreaMm2: shallow / 2,
    shallowShare: total > 0 ? shallow / total : 0,
    tenthDeg,
    areaByDegreeMm2,
  };
}
