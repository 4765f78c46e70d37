/** Sand round the pattern, and the least flask that follows. */
import type { JobSand } from '@oddside/card';
import type { Vec3 } from '@oddside/core';

/** Least sand by casting mass: up to kg, above and below, to the wall, mm. Common practice, no source. */
const LEAST_SAND = Object.freeze([
  [5, 50, 30],
  [10, 60, 40],
  [25, 70, 50],
  [50, 90, 50],
  [100, 100, 70],
] as const);

/** Works out sand and flask for a pattern of the given length, width and height as it lies. */
export function leaveSand(castingMassKg: number, size: Vec3, copeDepth: number, dragDepth: number): JobSand {
  const row = LEAST_SAND.find(([upTo]) => castingMassKg < upTo) ?? LEAST_SAND.at(-1)!;
  const [, cover, beside] = row;
  return {
    above: cover,
    below: cover,
    beside,
    flaskLength: size[0] + 2 * beside,
    flaskWidth: size[1] + 2 * beside,
    copeHeight: copeDepth + cover,
    dragHeight: dragDepth + cover,
    source: 'common practice, no source',
  };
}
