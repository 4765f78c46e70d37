/** A face of the pattern that the founder points at: the smooth patch round a point, a list of triangles, or all that looks one way. */
import { cross, dot, OddsideError, plainNumber, radians, subtract, unitVector, type Vec3 } from '@oddside/core';
import { listEdges, type Pattern, type SurfacePlace } from '@oddside/pattern';

/**
 * How to say which face is meant.
 * - `point`: a point on it, mm in the pattern's coordinates; the face is all that can be reached from there without crossing
 *   an edge of over 25° and without turning further than 60° from where it began.
 * - `triangles`: their numbers.
 * - `normal`: all triangles that look within 10° of this way.
 */
export type FacePick = { readonly point: Vec3 } | { readonly triangles: readonly number[] } | { readonly normal: Vec3 };

/** A face that was picked. */
export interface PickedFace {
  readonly triangles: Uint32Array;
  readonly areaMm2: number;
  /** Mean of its normals by area, of length 1 where it is flat. */
  readonly normal: Vec3;
  /** Its normals bundled by the way they look: x y z and area each. */
  readonly bundles: Float64Array;
}

/** Cosines of the angles in {@link FacePick}. */
const OVER_EDGE = Math.cos(radians(25));
const AWAY = Math.cos(radians(60));
const ALIKE = Math.cos(radians(10));
/** A point further from the surface than this share of the pattern's size is not on it. */
const OFF_SURFACE = 0.02;
/** Normals are bundled to about 1/16 radian. */
const BUNDLE = 16;

/**
 * Picks a face.
 *
 * @param what What the face is for, for the message.
 * @param size Of the pattern, mm.
 * @param nearest The nearest place of the surface, see `lookUpSurface`; only called where a point is given.
 * @throws OddsideError `bad-option` where there is no such face.
 */
export function pickFace(
  pattern: Pattern,
  pick: FacePick,
  what: string,
  size: number,
  nearest: (point: Vec3) => SurfacePlace,
): PickedFace {
  const count = pattern.triangles.length / 3;
  const given = (typeof pick === 'object' && pick !== null ? pick : {}) as Partial<
    Record<'point' | 'triangles' | 'normal', unknown>
  >;
  const said = Object.keys(given);
  if (said.length !== 1 || !['point', 'triangles', 'normal'].includes(said[0])) {
    throw new OddsideError(
      'bad-option',
      `${what} expects { point }, { triangles } or { normal }, such as { point: [10, 0, 4] }; ${said.length === 0 ? 'none' : said.join(', ')} came.`,
    );
  }
  if ('normal' in pick) {
    const normal = unitVector(pick.normal, `The normal of ${what}`);
    const alike = Array.from({ length: count }, (_, t) => t).filter((t) => facing(pattern, t, normal) >= ALIKE);
    if (alike.length > 0) return describeFace(pattern, alike);
    throw new OddsideError('bad-option', `${what} asks for a face that looks along ${say(normal)}; there is none.`);
  }
  if ('triangles' in pick) {
    const { triangles } = pick;
    const bad = Array.isArray(triangles)
      ? triangles.find((t) => !(Number.isInteger(t) && t >= 0 && t < count))
      : 'no list';
    if (bad === undefined && triangles.length > 0) return describeFace(pattern, [...new Set(triangles)]);
    throw new OddsideError(
      'bad-option',
      `${what} expects a list of triangle numbers from 0 to ${count - 1}; ${bad === undefined ? 'an empty list' : String(bad)} came.`,
    );
  }
  const { point } = pick;
  if (!Array.isArray(point) || point.length !== 3 || !point.every(Number.isFinite)) {
    throw new OddsideError(
      'bad-option',
      `The point of ${what} must be three finite numbers in mm, such as [10, 0, 4].`,
    );
  }
  const found = nearest(point as unknown as Vec3);
  if (found.distance > OFF_SURFACE * size) {
    throw new OddsideError(
      'bad-option',
      `${what} points at ${say(point as unknown as Vec3)}, which is ${plainNumber(found.distance)} mm off the surface. The nearest point on it is ${say(found.point)}.`,
    );
  }
  return describeFace(pattern, growFace(pattern, found.triangle));
}

/** Triangles reached from one of them over edges that hardly turn. Cost: one sort of the edges. */
function growFace(pattern: Pattern, seed: number): number[] {
  const { triangles, positions } = pattern;
  const edges = listEdges(triangles, positions.length / 3);
  const across = new Int32Array(triangles.length).fill(-1);
  for (let e = 0; e < edges.count; e++) {
    if (edges.starts[e + 1] - edges.starts[e] !== 2) continue;
    const [one, other] = [edges.halfEdges[edges.starts[e]], edges.halfEdges[edges.starts[e] + 1]];
    across[one] = other;
    across[other] = one;
  }
  const start = normalOf(pattern, seed);
  const reached = new Set([seed]);
  for (const t of reached) {
    const here = normalOf(pattern, t);
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const next = across[h] < 0 ? -1 : Math.floor(across[h] / 3);
      if (next < 0 || reached.has(next)) continue;
      if (facing(pattern, next, here) >= OVER_EDGE && facing(pattern, next, start) >= AWAY) reached.add(next);
    }
  }
  return [...reached];
}

function describeFace(pattern: Pattern, list: readonly number[]): PickedFace {
  const bundles = new Map<string, [number, number, number, number]>();
  let area = 0;
  const sum = [0, 0, 0];
  for (const t of list) {
    const twice = twiceAreaVector(pattern, t);
    const size = Math.hypot(...twice);
    if (!(size > 0)) continue;
    area += size / 2;
    const key = twice.map((c) => Math.round((c / size) * BUNDLE)).join();
    const bundle = bundles.get(key) ?? [0, 0, 0, 0];
    for (let k = 0; k < 3; k++) {
      sum[k] += twice[k] / 2;
      bundle[k] += twice[k] / 2;
    }
    bundle[3] += size / 2;
    bundles.set(key, bundle);
  }
  if (!(area > 0)) throw new OddsideError('bad-option', 'A face was picked that has no area. Pick more triangles.');
  const flat = [...bundles.values()].flatMap(([x, y, z, whole]) => {
    const size = Math.hypot(x, y, z) || 1;
    return [x / size, y / size, z / size, whole];
  });
  return {
    triangles: Uint32Array.from(list),
    areaMm2: area,
    normal: [sum[0] / area, sum[1] / area, sum[2] / area],
    bundles: Float64Array.from(flat),
  };
}

function twiceAreaVector({ positions, triangles }: Pattern, t: number): Vec3 {
  const corner = (k: number): Vec3 => {
    const p = triangles[3 * t + k] * 3;
    return [positions[p], positions[p + 1], positions[p + 2]];
  };
  const a = corner(0);
  return cross(subtract(corner(1), a), subtract(corner(2), a));
}

/** Unit normal; nought for a triangle without area. */
function normalOf(pattern: Pattern, t: number): Vec3 {
  const [x, y, z] = twiceAreaVector(pattern, t);
  const size = Math.hypot(x, y, z) || 1;
  return [x / size, y / size, z / size];
}

const facing = (pattern: Pattern, t: number, way: Vec3): number => dot(normalOf(pattern, t), way);

const say = (v: Vec3): string => `(${v.map((c) => plainNumber(c)).join(', ')})`;
