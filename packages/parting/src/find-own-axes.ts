/**
 * The pattern's own axes. A machined or modelled pattern that draws at all often does so along one exact direction:
 * along its flat walls, or along the axis of its turned parts, or square to that. Even samples miss it by a degree or two, and a
 * degree is enough to hold sand on a square pocket. Such a direction is parallel to several large flats at once, so it is the
 * cross product of their normals; the normals themselves, and the axes of the surface's spread, are good for depth and
 * flatness. What has a plane or an axis of symmetry has it square to, or along, one of the axes of its spread, if those
 * differ; where two are alike it is round, or repeats itself about the third, and is looked at all round that.
 */
import { add, angleBetweenDeg, cross, dot, drainSteps, length, unitVector, type Steps, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { faceNormal } from './face-normal.js';
import { directionsAcross, roundAxisSteps } from './find-round-axes.js';
import type { SurfaceSurvey } from './survey-surface.js';

/** A direction the pattern itself suggests. */
export interface OwnAxis {
  readonly direction: Vec3;
  readonly from:
    | 'square to a flat'
    | 'along two flats'
    | 'axis of a round part'
    | 'across a round part'
    | 'square to a face of its hull'
    | 'axis of its spread'
    | 'asked for';
}

/** How many of the largest groups of like-facing faces are looked at. */
const GROUPS = 10;
/** Cells along each side of the octahedral map of directions; a cell is about 2° wide. */
const MAP = 64;
/** Faces within this angle of a group's leading face belong to the same flat. */
const SAME_FLAT_DEG = 0.05;
/** A flat must be at least this share of the surface: on a scan every face is its own flat, and none means anything. */
const LEAST_FLAT = 0.004;

/** Directions looked at round half a turn square to a round part: every 15°, which meets what repeats 2, 3, 4, 6 or 12 times a turn. */
const ROUND_HALF_A_TURN = 12;
/** Round parts that are looked at all round, the largest. */
const LOOKED_ROUND = 2;

/**
 * Finds the axes a pattern suggests, at most some 130, no two within 0.1° of one axis.
 *
 * Cost: eight passes over the triangles.
 */
export function findOwnAxes(pattern: Pattern, survey: SurfaceSurvey): OwnAxis[] {
  return drainSteps(ownAxisSteps(pattern, survey));
}

/** The same in pieces. */
export function* ownAxisSteps(pattern: Pattern, survey: SurfaceSurvey): Steps<OwnAxis[]> {
  const normals = largestFlats(pattern);
  yield 0.4;
  const round = (yield* roundAxisSteps(pattern)).map(({ direction }) => direction);
  yield 0.9;
  return distinctAxes([
    ...normals.map((direction): OwnAxis => ({ direction, from: 'square to a flat' })),
    ...round.map((direction): OwnAxis => ({ direction, from: 'axis of a round part' })),
    ...normals.flatMap((one, i) => normals.slice(i + 1).flatMap((other) => along(one, other, 'along two flats'))),
    ...round.flatMap((one, i) =>
      [...normals, ...round.slice(i + 1)].flatMap((other) => along(one, other, 'across a round part')),
    ),
    ...round
      .slice(0, LOOKED_ROUND)
      .flatMap((axis) => directionsAcross(pattern, axis, survey.centroid, ROUND_HALF_A_TURN))
      .map((direction): OwnAxis => ({ direction, from: 'across a round part' })),
    ...survey.principalAxes.map((direction): OwnAxis => ({ direction, from: 'axis of its spread' })),
  ]);
}

/** The first of those within 0.1° of each other. */
export function distinctAxes(axes: readonly OwnAxis[]): OwnAxis[] {
  const distinct: OwnAxis[] = [];
  for (const axis of axes) {
    if (!distinct.some((kept) => axialAngleDeg(kept.direction, axis.direction) < 0.1)) distinct.push(axis);
  }
  return distinct;
}

/** The direction square to two others; none where they are nearly parallel, which leaves it undetermined. */
function along(one: Vec3, other: Vec3, from: OwnAxis['from']): OwnAxis[] {
  const both = cross(one, other);
  return length(both) > 0.05 ? [{ direction: unitVector(both), from }] : [];
}

/** Angle between two axes, ignoring which way each points, degrees 0–90. */
export function axialAngleDeg(a: Vec3, b: Vec3): number {
  const angle = angleBetweenDeg(a, b);
  return angle > 90 ? 180 - angle : angle;
}

/** Mean normals of the largest groups of faces that look the same way, largest first; opposite faces count together. */
function largestFlats(pattern: Pattern): Vec3[] {
  const { positions, triangles } = pattern;
  const count = triangles.length / 3;
  const cellOf = new Uint16Array(count).fill(NO_CELL);
  const cellArea = new Float64Array(MAP * MAP);
  const leader = new Int32Array(MAP * MAP).fill(-1);
  const leaderArea = new Float64Array(MAP * MAP);
  const n = new Float64Array(4);
  let total = 0;
  for (let t = 0; t < count; t++) {
    const area = upperNormal(positions, triangles, t, n);
    if (!(area > 0)) continue;
    const cell = mapCell(n[0], n[1], n[2]);
    cellOf[t] = cell;
    cellArea[cell] += area;
    total += area;
    if (area > leaderArea[cell]) {
      leaderArea[cell] = area;
      leader[cell] = t;
    }
  }
  const cells = Array.from(cellArea.keys())
    .filter((cell) => leader[cell]! >= 0)
    .sort((i, j) => cellArea[j]! - cellArea[i]! || i - j);
  const normals: Vec3[] = [];
  for (const cell of cells) {
    if (normals.length === GROUPS || cellArea[cell]! < LEAST_FLAT * total) break;
    upperNormal(positions, triangles, leader[cell], n);
    const lead = unitVector(n.subarray(0, 3));
    if (normals.some((kept) => axialAngleDeg(kept, lead) < 3)) continue;
    const flat = sumAround(pattern, cellOf, cell, lead);
    if (length(flat) >= LEAST_FLAT * total) normals.push(unitVector(flat));
  }
  return normals;
}

/** No cell: a face without area. */
const NO_CELL = 0xffff;

/**
 * A face's normal as `faceNormal` writes it, turned over where it looks into the lower half sphere: a flat and the flat behind
 * it are one axis. Returns twice the face's area.
 */
function upperNormal(positions: Float64Array, triangles: Uint32Array, face: number, out: Float64Array): number {
  const area = faceNormal(positions, triangles, face, out);
  const [nx, ny, nz] = [out[0], out[1], out[2]];
  if (nz < 0 || (nz === 0 && (ny < 0 || (ny === 0 && nx < 0)))) {
    out[0] = -nx;
    out[1] = -ny;
    out[2] = -nz;
  }
  return area;
}

/** Octahedral map of the upper half sphere onto a square of cells. */
function mapCell(nx: number, ny: number, nz: number): number {
  const sum = Math.abs(nx) + Math.abs(ny) + Math.abs(nz);
  const p = (nx + ny) / sum;
  const q = (nx - ny) / sum;
  const i = Math.min(MAP - 1, Math.floor(((p + 1) / 2) * MAP));
  const j = Math.min(MAP - 1, Math.floor(((q + 1) / 2) * MAP));
  return i * MAP + j;
}

/** Sum of the area vectors in a cell that look the leader's way: twice the flat's area, along its normal. */
function sumAround({ positions, triangles }: Pattern, cellOf: Uint16Array, cell: number, lead: Vec3): Vec3 {
  const limit = Math.cos((SAME_FLAT_DEG * Math.PI) / 180);
  const normal = new Float64Array(4);
  let sum: Vec3 = [0, 0, 0];
  for (let t = 0; t < cellOf.length; t++) {
    if (cellOf[t] !== cell) continue;
    upperNormal(positions, triangles, t, normal);
    const n: Vec3 = [normal[0], normal[1], normal[2]];
    if (dot(n, lead) >= limit * length(n)) sum = add(sum, n);
  }
  return sum;
}
