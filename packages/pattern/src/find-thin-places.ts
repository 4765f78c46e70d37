/** Places thinner than a limit, in the metal or in the sand: a quick look that measures nothing thicker. */
import { checkNumber, resolveOptions, startPacing, type TaskOptions, type Vec3 } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { ClosestPoint } from './closest-point.js';
import type { SectionPlace } from './measure-sections.js';
import type { Pattern } from './pattern.js';
import { largestBall } from './roll-balls.js';
import { sampleSurface } from './sample-surface.js';
import { buildTriangleTree } from './triangle-tree.js';

/** What {@link findThinPlaces} takes. */
export interface ThinPlacesOptions extends TaskOptions {
  /** Look in the metal, or in the sand between parts of the pattern. Default `metal`. */
  readonly side: 'metal' | 'sand';
  /** How many points of the surface to look at, about; 100 to 1,000,000. Default 4,000. */
  readonly samples: number;
}

/** Defaults of {@link findThinPlaces}. */
export const THIN_PLACES_DEFAULTS: ThinPlacesOptions = Object.freeze({
  side: 'metal',
  samples: 4000,
  signal: undefined,
  onProgress: undefined,
});

/** What {@link findThinPlaces} found. */
export interface ThinPlaces {
  /** The thinnest of the points looked at, or `null` where none is thinner than the limit. */
  readonly thinnest: SectionPlace | null;
  /** Share of the surface that is thinner than the limit, 0–1. */
  readonly share: number;
  /** How many points were looked at, and the distance between neighbours, mm: what is smaller may have been missed. */
  readonly points: number;
  readonly spacing: number;
}

/** Walls that meet at less than 60° count as thin near their edge, blunter edges do not: see {@link findThinPlaces}. */
const LEAST_COSINE = Math.cos((120 * Math.PI) / 180);

/**
 * Finds places thinner than a limit. Thickness is the diameter of the largest ball that touches the surface at a point
 * and has nothing inside, as `measureSections` has it; where a ball is squeezed into an edge of 60° or more, that is an
 * edge and not a thin place.
 *
 * Cost: about 0.3 s for a tree over a million triangles, and some µs a point, because no ball larger than the limit is
 * ever tried.
 *
 * @param thinner The limit, mm, above 0.
 * @throws OddsideError `bad-pattern`, `no-triangles`, `bad-number`, `bad-option`. The signal's reason after an abort.
 */
export async function findThinPlaces(
  pattern: Pattern,
  thinner: number,
  options?: Partial<ThinPlacesOptions>,
): Promise<ThinPlaces> {
  const settled = resolveOptions('findThinPlaces', THIN_PLACES_DEFAULTS, options);
  checkNumber('thinner (mm)', thinner, { min: 0, above: true });
  checkNumber('samples', settled.samples, { min: 100, max: 1e6, whole: true });
  checkPattern(pattern);
  const pacer = startPacing(settled);
  const { positions, triangles } = pattern;
  const { points, normals, triangleOf, spacing } = sampleSurface(positions, triangles, settled.samples);
  await pacer.step(0.1);
  const surface = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
  const way = settled.side === 'metal' ? -1 : 1;
  let thinnest: SectionPlace | null = null;
  let thin = 0;
  for (let i = 0; i < triangleOf.length; i++) {
    if (i % 200 === 0) await pacer.step(0.3 + (0.69 * i) / triangleOf.length);
    const where: Vec3 = [points[3 * i], points[3 * i + 1], points[3 * i + 2]];
    const into: Vec3 = [way * normals[3 * i], way * normals[3 * i + 1], way * normals[3 * i + 2]];
    const radius = thinRadius(pattern, surface, where, into, thinner / 2, way);
    if (radius === null) continue;
    thin++;
    if (!thinnest || 2 * radius < thinnest.thickness) {
      const centre: Vec3 = [where[0] + radius * into[0], where[1] + radius * into[1], where[2] + radius * into[2]];
      thinnest = { thickness: 2 * radius, where, centre };
    }
  }
  pacer.finish();
  return { thinnest, share: thin / Math.max(1, triangleOf.length), points: triangleOf.length, spacing };
}

/**
 * Radius of the ball between walls at a point, or `null` where there are none within the limit. The first touching counts
 * as well as the last: on a round bar the facets beside the point squeeze the ball after the far wall has met it.
 */
function thinRadius(
  pattern: Pattern,
  surface: ClosestPoint,
  where: Vec3,
  into: Vec3,
  most: number,
  way: 1 | -1,
): number | null {
  const inner = most * (1 - 1e-4);
  const centre: Vec3 = [where[0] + most * into[0], where[1] + most * into[1], where[2] + most * into[2]];
  if (!surface.find(centre[0], centre[1], centre[2], inner * inner)) return null;
  const [dx, dy, dz] = [surface.x - where[0], surface.y - where[1], surface.z - where[2]];
  const along = dx * into[0] + dy * into[1] + dz * into[2];
  const first = along > 0 ? (dx * dx + dy * dy + dz * dz) / (2 * along) : Infinity;
  const across = 1 - along / first <= LEAST_COSINE && faces(pattern, surface.triangle, into, way);
  const between = across ? first : Infinity;
  const ball = largestBall(surface, where, into, most, true);
  const last = ball && ball.cosine <= LEAST_COSINE ? ball.radius : Infinity;
  const radius = Math.min(between, last);
  return radius < most ? radius : null;
}

/** Does a triangle bound the far side of the wall, within 60° of squarely? An edge's other wall does not. */
function faces({ positions: p, triangles }: Pattern, t: number, into: Vec3, way: 1 | -1): boolean {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  return -way * (x * into[0] + y * into[1] + z * into[2]) >= -LEAST_COSINE * Math.hypot(x, y, z);
}
