/**
 * Axes of a pattern's round parts: bosses, bores, pins, rims. The normals of a round part, tapered or not, lie on a circle of
 * the sphere whose pole is its axis. So every even sample is asked how much of the surface is wall to it, the best ones are
 * turned to where the normals near their circle spread least along them, and what is then round about its axis and close
 * to one circle is an axis, exact where the part was drawn.
 */
import {
  cross,
  dot,
  drainSteps,
  frameAcross,
  radians,
  steadyCosine,
  steadySine,
  type Steps,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { gatherByCell, listFacing, nearCircle, type Facing, type FacingByCell } from './list-facing.js';
import { coveringRadiusDeg, sampleDirections } from './sample-directions.js';
import { eigenvectors3 } from './survey-surface.js';

/** Samples asked; none is further than 4.2° from an axis. */
const ASKED = 501;
/** A round part is at least this share of the surface, and tapers by no more than so many degrees. */
const LEAST_SHARE = 0.05;
const MOST_TAPER_DEG = 10;
/**
 * Half the widths of the bands round a great circle, degrees, in which a direction is turned to its axis: first by what was
 * gathered, then by the faces themselves. Of what is in the first, so much must be in the last; of a ball it is 0.57 and 0.25.
 */
const ROUGHLY = { bandsDeg: [7, 5, 4], leastClose: 0.65 };
const CLOSELY = { bandsDeg: [4, 2, 1], leastClose: 0.5 };
/** Parts of a turn, see `sectorOf`, and how many must hold this share of the walls: two flats or a box are not round. */
const SECTORS = 12;
const LEAST_SECTORS = 8;
const SECTOR_SHARE = 0.02;
/** Axes at most; places that are looked into roughly, and of those closely; and the angle within which two are one, degrees. */
const MOST = 4;
const LOOKED_INTO = 12;
const LOOKED_CLOSELY = 5;
const APART_DEG = 5;

/** An axis of round parts, and how much of the surface is theirs. */
export interface RoundAxis {
  readonly direction: Vec3;
  readonly share: number;
}

/** Finds the axes of round parts, the largest part first. Cost: 0.1 to 0.2 µs a face. */
export function findRoundAxes(pattern: Pattern): RoundAxis[] {
  return drainSteps(roundAxisSteps(listFacing(pattern)));
}

/** The same of a list of faces, in pieces. */
export function* roundAxisSteps(all: FacingByCell): Steps<RoundAxis[]> {
  const gathered = gatherByCell(all);
  const found: RoundAxis[] = [];
  const near = Math.cos(radians(APART_DEG));
  const isNew = (direction: Vec3, among: readonly Vec3[]): boolean =>
    among.every((other) => Math.abs(dot(other, direction)) <= near);
  const turned: Vec3[] = [];
  for (const { direction } of wallsOf(gathered)) {
    if (found.length === MOST || turned.length === LOOKED_CLOSELY) break;
    const roughly = isNew(direction, turned) ? turnToAxis(gathered, direction, ROUGHLY) : undefined;
    if (!roughly || !isNew(roughly.direction, turned)) continue;
    turned.push(roughly.direction);
    yield 0.5;
    const axis = turnToAxis(all, roughly.direction, CLOSELY);
    const known = found.map((other) => other.direction);
    if (axis && isNew(axis.direction, known)) found.push(axis);
  }
  return found.sort((a, b) => b.share - a.share);
}

/** Samples with enough wall about them and more than any near them, most first. */
function wallsOf(facing: Facing): RoundAxis[] {
  const band = Math.sin(radians(ROUGHLY.bandsDeg[0]));
  const asked: RoundAxis[] = [];
  for (const direction of sampleDirections(ASKED)) {
    const share = wallAbout(facing, direction, band);
    if (share >= LEAST_SHARE) asked.push({ direction, share });
  }
  const near = Math.cos(radians(2 * coveringRadiusDeg(ASKED)));
  asked.sort((a, b) => b.share - a.share);
  const most: RoundAxis[] = [];
  for (const [i, one] of asked.entries()) {
    if (most.length === LOOKED_INTO) break;
    if (!anyWithin(near, asked, i, one.direction)) most.push(one);
  }
  return most;
}

/** Whether one of the first `count` is as near a direction as `near` says, a cosine, or nearer. */
function anyWithin(near: number, axes: readonly RoundAxis[], count: number, direction: Vec3): boolean {
  for (let i = 0; i < count; i++) if (Math.abs(dot(axes[i].direction, direction)) >= near) return true;
  return false;
}

/** Share of the surface that is wall about an axis, give or take the arc of `band`. */
function wallAbout({ areas, normals, total }: Facing, [x, y, z]: Vec3, band: number): number {
  let wall = 0;
  for (let i = 0, k = 0; i < areas.length; i++, k += 3) {
    if (Math.abs(normals[k] * x + normals[k + 1] * y + normals[k + 2] * z) < band) wall += areas[i];
  }
  return wall / total;
}

/** Turns a direction to the axis of the round part about it; `undefined` where there is none. */
function turnToAxis(
  facing: Facing | FacingByCell,
  start: Vec3,
  { bandsDeg, leastClose }: typeof CLOSELY,
): RoundAxis | undefined {
  const least = LEAST_SHARE * facing.total;
  let axis = start;
  let height = 0;
  let first = 0;
  let last = 0;
  for (const degrees of bandsDeg) {
    const { moments, sectors } = lookAbout(facing, axis, height, Math.sin(radians(degrees)));
    last = moments[0];
    first ||= last;
    if (last < least || !isRound(sectors, last)) return undefined;
    const turned = leastSpread(moments);
    axis = dot(turned, axis) < 0 ? [-turned[0], -turned[1], -turned[2]] : turned;
    // A tapered part's normals all lean the same way along its axis.
    height = (moments[1] * axis[0] + moments[2] * axis[1] + moments[3] * axis[2]) / last;
    if (Math.abs(height) > Math.sin(radians(MOST_TAPER_DEG))) return undefined;
  }
  return last >= leastClose * first ? { direction: axis, share: last / facing.total } : undefined;
}

/** Moments of what looks within a band of a circle about an axis, and how much of it is in each part of a turn. */
function lookAbout(
  facing: Facing | FacingByCell,
  axis: Vec3,
  height: number,
  band: number,
): { moments: Float64Array; sectors: Float64Array } {
  const { normals, areas } = facing;
  const moments = new Float64Array(10);
  const sectors = new Float64Array(SECTORS);
  const { u, v } = frameAcross(axis);
  const [dx, dy, dz] = axis;
  const [ux, uy, uz] = u;
  const [vx, vy, vz] = v;
  const stretches = 'starts' in facing ? nearCircle(facing, axis, height, band) : [0, areas.length];
  for (let s = 0; s < stretches.length; s += 2) {
    for (let i = stretches[s], k = 3 * i; i < stretches[s + 1]; i++, k += 3) {
      const x = normals[k];
      const y = normals[k + 1];
      const z = normals[k + 2];
      if (Math.abs(dx * x + dy * y + dz * z - height) >= band) continue;
      sectors[sectorOf(ux * x + uy * y + uz * z, vx * x + vy * y + vz * z)] += areas[i];
      addMoments(moments, x, y, z, areas[i]);
    }
  }
  return { moments, sectors };
}

/** Tangents of 30° and 60°. */
const TAN_30 = 1 / Math.sqrt(3);
const TAN_60 = Math.sqrt(3);

/** Which twelfth of a turn a place is in: an arc tangent for every face would cost more than all the rest. */
function sectorOf(x: number, y: number): number {
  const ax = Math.abs(x);
  const ay = Math.abs(y);
  const third = ay < TAN_30 * ax ? 0 : ay < TAN_60 * ax ? 1 : 2;
  return third + (x < 0 ? 3 : 0) + (y < 0 ? 6 : 0);
}

function isRound(sectors: Float64Array, walls: number): boolean {
  return sectors.filter((area) => area >= SECTOR_SHARE * walls).length >= LEAST_SECTORS;
}

/** Adds a normal's moments: weight, first x y z, second xx yy zz xy yz zx. */
function addMoments(sums: Float64Array, x: number, y: number, z: number, weight: number): void {
  sums[0] += weight;
  sums[1] += weight * x;
  sums[2] += weight * y;
  sums[3] += weight * z;
  sums[4] += weight * x * x;
  sums[5] += weight * y * y;
  sums[6] += weight * z * z;
  sums[7] += weight * x * y;
  sums[8] += weight * y * z;
  sums[9] += weight * z * x;
}

/** The direction along which the normals differ least. */
function leastSpread([w, x, y, z, xx, yy, zz, xy, yz, zx]: Float64Array): Vec3 {
  const axes = eigenvectors3([
    [xx - (x * x) / w, xy - (x * y) / w, zx - (z * x) / w],
    [xy - (x * y) / w, yy - (y * y) / w, yz - (y * z) / w],
    [zx - (z * x) / w, yz - (y * z) / w, zz - (z * z) / w],
  ]);
  return axes[2];
}

/** Directions square to an axis, so many round half a turn; the first looks to the corner that is furthest from the axis. */
export function directionsAcross({ positions }: Pattern, axis: Vec3, middle: Vec3, count: number): Vec3[] {
  let most = 0;
  let { u } = frameAcross(axis);
  for (let i = 0; i < positions.length; i += 3) {
    const from: Vec3 = [positions[i] - middle[0], positions[i + 1] - middle[1], positions[i + 2] - middle[2]];
    const along = dot(from, axis);
    const out: Vec3 = [from[0] - along * axis[0], from[1] - along * axis[1], from[2] - along * axis[2]];
    const square = dot(out, out);
    // A hair further is no further: the first of several alike is taken.
    if (square <= most * (1 + 1e-9)) continue;
    most = square;
    const size = Math.sqrt(square);
    u = [out[0] / size, out[1] / size, out[2] / size];
  }
  const v = cross(axis, u);
  return Array.from({ length: count }, (_, k): Vec3 => {
    const [c, s] = [steadyCosine((Math.PI * k) / count), steadySine((Math.PI * k) / count)];
    return [c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]];
  });
}
