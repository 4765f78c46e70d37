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

/** Sines of 0 to 90 whole degrees. */
const SINES: Float64Array = /* @__PURE__ */ Float64Array.from({ length: 91 }, (_, deg) => Math.sin(radians(deg)));
/** Steps of the sine for which the least whole degree is looked up. */
const STEPS = 1024;
const DEGREES: Uint8Array = /* @__PURE__ */ Uint8Array.from({ length: STEPS + 1 }, (_, step) =>
  Math.max(0, Math.floor(degrees(Math.asin(step / STEPS)) - 1e-9)),
);

/** The whole degree of a sine of 0 to 1, 89 for 1: an arc sine for every face would cost as much as all the rest. */
function degreeOf(sine: number): number {
  let deg = DEGREES[(sine * STEPS) | 0]!;
  while (deg < 89 && sine >= SINES[deg + 1]!) deg++;
  return deg;
}

/** Measures the draft of every face. Cost: one pass over the triangles, about 20 ns each. */
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
    byDegree[degreeOf(sine)]! += twice;
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
