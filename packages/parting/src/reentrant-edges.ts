/**
 * Re-entrant edges: where two faces meet with less than half a turn of sand between them. A line through the sand close to
 * such an edge runs into one face one way and into the other the other way exactly when one of them looks along the line
 * and the other against it. Sand is held there, whatever the joint; so each such edge forbids all draws of an open double
 * lune between the planes of its faces (geometry of two-part moulds, dependence on direction; derived there).
 *
 * It takes no look at anything else, so it says nothing of sand between faces that do not meet.
 */
import { dot, radians, type Steps, type Vec3 } from '@oddside/core';
import { nextHalfEdge, type EdgeTable, type Pattern } from '@oddside/pattern';
import { faceNormal } from './face-normal.js';

/** Area vectors of all faces and how sure they are. */
export interface SureFaces {
  /** Area vectors, mm², n×3. */
  readonly areas: Float64Array;
  /** How far each may be off if every corner is `noise` off, rounding counted, mm². */
  readonly slack: Float64Array;
  readonly noise: number;
}

/** Distinct re-entrant edges, those that forbid most first. */
export interface ReentrantEdges {
  readonly count: number;
  /** Unit normals of the two faces, n×6. */
  readonly normals: Float64Array;
  /** Sines within which each face may be upright, n×2. */
  readonly slack: Float64Array;
  /** A place on each edge, n×3. */
  readonly places: Float64Array;
}

/** More edges than this cost more than they are likely to tell; leaving some out only makes less certain. */
const MOST_EDGES = 4096;
/** Edges whose faces look alike to this, as a sine, are one. */
const ALIKE = 1 / 4096;
/** Edges or faces between two pauses. */
const PIECE = 20_000;

/**
 * Measures all faces.
 *
 * @param noise How far, mm, each corner may be from where the mesh has it.
 */
export function* sureFaceSteps({ positions, triangles }: Pattern, noise: number): Steps<SureFaces> {
  const count = triangles.length / 3;
  const areas = new Float64Array(3 * count);
  const slack = new Float64Array(count);
  const work = new Float64Array(4);
  for (let face = 0; face < count; face++) {
    faceNormal(positions, triangles, face, work);
    for (let k = 0; k < 3; k++) areas[3 * face + k] = work[k] / 2;
    // Half the cross product of two edges, each off by twice the noise at most.
    const longest = Math.sqrt(work[3]);
    slack[face] = 2 * noise * (longest + noise) + 8 * Number.EPSILON * work[3];
    if (face % PIECE === PIECE - 1) yield face / count;
  }
  return { areas, slack, noise };
}

/**
 * Lists the re-entrant edges of a surface. Edges that may be flat, those of more than two faces, and those whose faces turn by
 * less than `smoothDeg` are left out: facets of a curve that is meant to be smooth hold slivers that the curve does not.
 */
export function* reentrantSteps(
  { positions, triangles }: Pattern,
  { halfEdges, starts, count }: EdgeTable,
  { areas, slack, noise }: SureFaces,
  smoothDeg: number,
): Steps<ReentrantEdges> {
  const smooth = Math.cos(radians(smoothDeg));
  const found = new Map<string, Lune>();
  const looksOf = (face: number): Look | null => lookOf(areas, slack, face);
  for (let e = 0; e < count; e++) {
    if (e % PIECE === PIECE - 1) yield e / count;
    if (starts[e + 1] - starts[e] !== 2) continue;
    const [h, g] = [halfEdges[starts[e]], halfEdges[starts[e] + 1]];
    const [one, other] = [Math.floor(h / 3), Math.floor(g / 3)];
    const tip = 3 * triangles[nextHalfEdge(nextHalfEdge(g))];
    const [from, to] = [3 * triangles[h], 3 * triangles[nextHalfEdge(h)]];
    const [ex, ey, ez] = [
      positions[tip] - positions[from],
      positions[tip + 1] - positions[from + 1],
      positions[tip + 2] - positions[from + 2],
    ];
    const [nx, ny, nz] = [areas[3 * one], areas[3 * one + 1], areas[3 * one + 2]];
    const reach = Math.sqrt(ex * ex + ey * ey + ez * ez) + 2 * noise;
    const long = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const rise = nx * ex + ny * ey + nz * ez;
    if (!(rise > slack[one] * reach + 2 * noise * long + 8 * Number.EPSILON * long * reach)) continue;
    const looks = [looksOf(one), looksOf(other)];
    if (!looks[0] || !looks[1] || (smoothDeg > 0 && dot(looks[0].normal, looks[1].normal) > smooth)) continue;
    const [a, b] = looks[0].key < looks[1].key ? [looks[0], looks[1]] : [looks[1], looks[0]];
    const key = `${a.key} ${b.key}`;
    const unsure = Math.max(a.slack, b.slack);
    const known = found.get(key);
    if (known && known.unsure <= unsure) continue;
    const place: Vec3 = [0, 1, 2].map((k) => (positions[from + k] + positions[to + k]) / 2) as unknown as Vec3;
    found.set(key, { a, b, unsure, place });
  }
  // The more the faces of an edge differ, the more draws it forbids.
  const width = ({ a, b }: Lune): number => dot(a.normal, b.normal);
  const all = [...found.values()].sort((s, t) => width(s) - width(t) || s.unsure - t.unsure).slice(0, MOST_EDGES);
  return {
    count: all.length,
    normals: Float64Array.from(all.flatMap(({ a, b }) => [...a.normal, ...b.normal])),
    slack: Float64Array.from(all.flatMap(({ a, b }) => [a.slack, b.slack])),
    places: Float64Array.from(all.flatMap(({ place }) => place)),
  };
}

interface Look {
  readonly normal: Vec3;
  readonly slack: number;
  readonly key: string;
}

interface Lune {
  readonly a: Look;
  readonly b: Look;
  readonly unsure: number;
  readonly place: Vec3;
}

/** Where a face looks; `null` where it is so small that it may look any way. */
function lookOf(areas: Float64Array, slack: Float64Array, face: number): Look | null {
  const [x, y, z] = [areas[3 * face], areas[3 * face + 1], areas[3 * face + 2]];
  const area = Math.sqrt(x * x + y * y + z * z);
  if (!(slack[face] < area / 2)) return null;
  const normal: Vec3 = [x / area, y / area, z / area];
  const key = normal.map((one) => Math.round(one / ALIKE)).join();
  return { normal, slack: slack[face] / area + 8 * Number.EPSILON, key };
}
