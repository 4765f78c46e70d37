/** The place on a pattern's surface that is nearest to a point. */
import type { Vec3 } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { ClosestPoint } from './closest-point.js';
import type { Pattern } from './pattern.js';
import { buildTriangleTree } from './triangle-tree.js';

/** A place on a surface. */
export interface SurfacePlace {
  /** mm, in the pattern's coordinates. */
  readonly point: Vec3;
  /** From the point asked about, mm. */
  readonly distance: number;
  /** Number of the triangle it lies on. */
  readonly triangle: number;
}

/**
 * Makes a pattern's surface ready to be asked for nearest places.
 *
 * @returns A function from a point, mm in the pattern's coordinates, to the nearest place. Cost: about 0.3 s for a million
 *   triangles, then some microseconds a question.
 * @throws OddsideError `bad-pattern`, `no-triangles`.
 */
export function lookUpSurface(pattern: Pattern): (point: Vec3) => SurfacePlace {
  checkPattern(pattern);
  const { positions, triangles } = pattern;
  const closest = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
  return ([x, y, z]) => {
    closest.find(x, y, z);
    return {
      point: [closest.x, closest.y, closest.z],
      distance: Math.sqrt(closest.square),
      triangle: closest.triangle,
    };
  };
}
