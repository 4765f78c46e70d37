/** The largest ball that touches the surface from inside (or outside) at a point. */
import type { Vec3 } from '@oddside/core';
import type { ClosestPoint } from './closest-point.js';

/** A ball that touches the surface at a point and, opposite or beside, once more. */
export interface Ball {
  readonly radius: number;
  readonly centre: Vec3;
  /**
   * Angle seen from the centre between the two touching points, cosine: −1 between parallel walls, 0 in a square
   * corner, where the ball shrinks into the edge.
   */
  readonly cosine: number;
}

const MOST_TURNS = 40;
/** Cosine of 32°: common in the literature on medial balls of noisy points, no better reason. */
const BESIDE = 0.85;

/**
 * Shrinks a ball until nothing is inside it (Ma, Bae and Choi, "3D medial axis point approximation using nearest
 * neighbors and the normal field", 2012, from memory), with exact distances to triangles instead of sample points.
 *
 * @param direction Unit vector from the surface into the side wanted.
 * @param largest Radius to begin with: what is wider than twice this is open space.
 * @param asked True where the surface has just been asked for what lies in the ball of that radius, and something does.
 * @returns `undefined` when the ball of that radius is free.
 */
export function largestBall(
  surface: ClosestPoint,
  point: Vec3,
  direction: Vec3,
  largest: number,
  asked = false,
): Ball | undefined {
  let radius = largest;
  let cosine = 1;
  let found = false;
  for (let turn = 0; turn < MOST_TURNS; turn++) {
    const cx = point[0] + direction[0] * radius;
    const cy = point[1] + direction[1] * radius;
    const cz = point[2] + direction[2] * radius;
    const inner = radius * (1 - 1e-4);
    if ((turn > 0 || !asked) && !surface.find(cx, cy, cz, inner * inner)) break;
    const dx = surface.x - point[0];
    const dy = surface.y - point[1];
    const dz = surface.z - point[2];
    const square = dx * dx + dy * dy + dz * dz;
    const along = dx * direction[0] + dy * direction[1] + dz * direction[2];
    if (!(along > 0)) break;
    const next = square / (2 * along);
    if (!(next < radius)) break;
    // The angle between the two touching points, seen from the new centre.
    const angle = 1 - along / next;
    // So close beside the first touching point it is the facets or the noise of the surface itself that touch.
    if (angle > BESIDE) break;
    // Between walls already, and the next touching is beside them and takes less than 2 %: an edge near by, or the
    // facets of a round bar. The section is that between the walls.
    if (found && next > 0.98 * radius && angle > cosine && cosine < -0.5) break;
    found = true;
    radius = next;
    cosine = angle;
  }
  if (!found) return undefined;
  return {
    radius,
    centre: [point[0] + direction[0] * radius, point[1] + direction[1] * radius, point[2] + direction[2] * radius],
    cosine,
  };
}

/** Moves a ball's centre uphill in distance from the surface, and returns the largest free ball near it. */
export function growBall(surface: ClosestPoint, start: Ball): Ball {
  let [x, y, z] = start.centre;
  surface.find(x, y, z);
  let radius = Math.sqrt(surface.square);
  let step = start.radius * 0.25;
  for (let turn = 0; turn < 60 && step > start.radius * 1e-5; turn++) {
    let better = false;
    for (const [dx, dy, dz] of COMPASS) {
      const u = x + dx * step;
      const v = y + dy * step;
      const w = z + dz * step;
      surface.find(u, v, w);
      const here = Math.sqrt(surface.square);
      if (
        here <= radius * (1 + 1e-9) ||
        Math.hypot(u - start.centre[0], v - start.centre[1], w - start.centre[2]) > 3 * start.radius
      )
        continue;
      [x, y, z, radius] = [u, v, w, here];
      better = true;
    }
    if (!better) step /= 2;
  }
  return { radius, centre: [x, y, z], cosine: -1 };
}

/** The 26 ways to a neighbouring cell. */
const COMPASS: readonly Vec3[] = Object.freeze(
  Array.from({ length: 27 }, (_, i): Vec3 => {
    const d = [(i % 3) - 1, (((i / 3) | 0) % 3) - 1, ((i / 9) | 0) - 1];
    const size = Math.hypot(d[0], d[1], d[2]) || 1;
    return [d[0] / size, d[1] / size, d[2] / size];
  }).filter((d) => d[0] !== 0 || d[1] !== 0 || d[2] !== 0),
);
