/**
 * The pattern's own axes. A machined or modelled pattern that draws at all often does so along one exact direction:
 * along its flat walls, or along the axis of its turned parts, or square to that. Even samples miss it by a degree or two, and a
 * degree is enough to hold sand on a square pocket. Such a direction is parallel to several large flats at once, so it is the
 * cross product of their normals; the normals themselves, and the axes of the surface's spread, are good for depth and
 * flatness. What has a plane or an axis of symmetry has it square to, or along, one of the axes of its spread, if those
 * differ; where two are alike it is round, or repeats itself about the third, and is looked at all round that.
 */
import {
  add,
  angleBetweenDeg,
  cross,
  dot,
  drainSteps,
  forEachStretch,
  length,
  scale as times,
  unitVector,
  type Steps,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { directionsAcross, roundAxisSteps } from './find-round-axes.js';
import { listFacing, type Facing } from './list-facing.js';
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

/** What must be known of a pattern before. */
export type AxesSurvey = Pick<SurfaceSurvey, 'centroid' | 'principalAxes'>;

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
 * Cost: one pass over the triangles and a few over what it lists, 0.1 to 0.2 µs a triangle.
 */
export function findOwnAxes(pattern: Pattern, survey: AxesSurvey): OwnAxis[] {
  return drainSteps(ownAxisSteps(pattern, survey));
}

/** The same in pieces. */
export function* ownAxisSteps(pattern: Pattern, survey: AxesSurvey): Steps<OwnAxis[]> {
  const facing = listFacing(pattern);
  yield 0.3;
  const normals = largestFlats(facing);
  yield 0.6;
  const round = (yield* roundAxisSteps(facing)).map(({ direction }) => direction);
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

/** Puts some faces into the map: the cell of each, the area of each cell, and its largest face. */
function mapPiece(
  normals: Float64Array,
  areas: Float64Array,
  from: number,
  to: number,
  cellOf: Uint16Array,
  cellArea: Float64Array,
  leader: Int32Array,
): void {
  for (let i = from; i < to; i++) {
    const cell = mapCell(normals[3 * i], normals[3 * i + 1], normals[3 * i + 2]);
    cellOf[i] = cell;
    cellArea[cell] += areas[i];
    if (leader[cell] < 0 || areas[i] > areas[leader[cell]]) leader[cell] = i;
  }
}

/** Mean normals of the largest groups of faces that look the same way, largest first; opposite faces count together. */
function largestFlats({ normals, areas, total }: Facing): Vec3[] {
  const cellOf = new Uint16Array(areas.length);
  const cellArea = new Float64Array(MAP * MAP);
  const leader = new Int32Array(MAP * MAP).fill(-1);
  forEachStretch(areas.length, (from, to) => mapPiece(normals, areas, from, to, cellOf, cellArea, leader));
  const cells = Array.from(cellArea.keys())
    .filter((cell) => cellArea[cell] >= LEAST_FLAT * total && leader[cell] >= 0)
    .sort((i, j) => cellArea[j] - cellArea[i] || i - j);
  const flats: Vec3[] = [];
  for (const cell of cells) {
    if (flats.length === GROUPS) break;
    const lead = upperNormal(normals, leader[cell]);
    if (flats.some((kept) => axialAngleDeg(kept, lead) < 3)) continue;
    const flat = sumAround(normals, areas, cellOf, cell, lead);
    if (length(flat) >= LEAST_FLAT * total) flats.push(unitVector(flat));
  }
  return flats;
}

/** A normal, turned over where it looks into the lower half sphere: a flat and the flat behind it are one axis. */
function upperNormal(normals: Float64Array, i: number): Vec3 {
  const [x, y, z] = [normals[3 * i], normals[3 * i + 1], normals[3 * i + 2]];
  return looksDown(x, y, z) ? [-x, -y, -z] : [x, y, z];
}

function looksDown(x: number, y: number, z: number): boolean {
  return z < 0 || (z === 0 && (y < 0 || (y === 0 && x < 0)));
}

/** Octahedral map of the upper half sphere onto a square of cells; what looks into the lower is turned over. */
function mapCell(x: number, y: number, z: number): number {
  const size = Math.abs(x) + Math.abs(y) + Math.abs(z);
  const sum = looksDown(x, y, z) ? -size : size;
  const p = (x + y) / sum;
  const q = (x - y) / sum;
  const i = Math.min(MAP - 1, Math.floor(((p + 1) / 2) * MAP));
  const j = Math.min(MAP - 1, Math.floor(((q + 1) / 2) * MAP));
  return i * MAP + j;
}

/** Sum of the area vectors in a cell that look the leader's way: twice the flat's area, along its normal. */
function sumAround(normals: Float64Array, areas: Float64Array, cellOf: Uint16Array, cell: number, lead: Vec3): Vec3 {
  const limit = Math.cos((SAME_FLAT_DEG * Math.PI) / 180);
  let sum: Vec3 = [0, 0, 0];
  for (let i = 0; i < cellOf.length; i++) {
    if (cellOf[i] !== cell) continue;
    const n = upperNormal(normals, i);
    if (dot(n, lead) >= limit) sum = add(sum, times(n, areas[i]));
  }
  return sum;
}
