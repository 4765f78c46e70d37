/**
 * A proof without columns that a pattern does not draw along a direction, from its faces alone.
 *
 * If every line along the draw runs through the inside of a body in one stretch, the faces that look along the draw, with
 * the upright ones, are the body's top seen from above: one connected piece, because the body is one. So are those that
 * look the other way. Where either is in two pieces that no upright face joins, some line runs through the body twice.
 *
 * Where no face is upright the top is more than connected: it is the shadow itself, laid over the body, and so is the
 * bottom, and the two close up along the shadow's edge. A body of so many handles (its genus) then shows that many holes and
 * one rim more; any other number of rims is a proof as well (geometry of two-part moulds, castability: topology; derived
 * there, the step to faces here).
 *
 * Both go from "draws" to "connected" and never back: a pattern that passes may still hold sand.
 */
import { formatLength, paceSteps, radians, startPacing, unitVector, type Steps, type Vec3 } from '@oddside/core';
import { inspectPatternFully, listEdges, nextHalfEdge, type FullInspection, type Pattern } from '@oddside/pattern';
import { surveyShells } from './find-voids.js';

/** The faces of one closed body and how they hang together. */
export interface FaceWeb {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  /** Normals, n×3, as long as twice the area. */
  readonly normals: Float64Array;
  /** What rounding may make of `normal · unit vector`, at most. */
  readonly slack: Float64Array;
  /** The half-edge on the other side of each half-edge: half-edge `h` belongs to face `⌊h / 3⌋`. */
  readonly twins: Uint32Array;
  readonly handles: number;
}

/** Why a draw, or every draw of a cap, holds sand. */
export interface HeldProof {
  readonly by: 'parted faces' | 'handles';
  /** Two places that would have to hang together, in the pattern's coordinates; empty for a proof by handles. */
  readonly places: readonly Vec3[];
  /** In words. */
  readonly sentence: string;
}

/**
 * Lays out the faces for proofs.
 *
 * @param inspection Of the same pattern, in full, where there is one already.
 * @returns `null` where there is nothing to prove from: the surface is open, has an edge of more than two faces, cuts
 *   itself, or is not one body without voids. Cost: an inspection in full.
 */
export async function webFaces(
  pattern: Pattern,
  signal?: AbortSignal,
  inspection?: FullInspection,
): Promise<FaceWeb | null> {
  const pacer = startPacing({ signal });
  const { voids, bodies, handles } = surveyShells(pattern);
  await pacer.step(0);
  if (handles === null || bodies !== 1 || voids.length > 0) return null;
  const found = inspection ?? (await inspectPatternFully(pattern, { signal }));
  const { closed, consistent, degenerateTriangles, selfIntersections, pinchedCorners } = found;
  // Touching itself counts as cutting itself: what is metal, and what hangs together, must not be in doubt.
  const sound = closed && consistent && degenerateTriangles + pinchedCorners === 0 && selfIntersections === 0;
  return sound ? paceSteps(layOutSteps(pattern, handles), pacer) : null;
}

/** Faces laid out between two pauses. */
const PIECE = 10_000;

function* layOutSteps({ positions, triangles }: Pattern, handles: number): Steps<FaceWeb> {
  const count = triangles.length / 3;
  const normals = new Float64Array(3 * count);
  const slack = new Float64Array(count);
  const [ox, oy, oz] = positions;
  for (let t = 0; t < count; t++) {
    if (t % PIECE === PIECE - 1) yield (0.8 * t) / count;
    const [a, b, c] = [0, 1, 2].map((k) => 3 * triangles[3 * t + k]);
    const [ex, ey, ez] = [
      positions[b] - positions[a],
      positions[b + 1] - positions[a + 1],
      positions[b + 2] - positions[a + 2],
    ];
    const [fx, fy, fz] = [
      positions[c] - positions[a],
      positions[c + 1] - positions[a + 1],
      positions[c + 2] - positions[a + 2],
    ];
    normals[3 * t] = ey * fz - ez * fy;
    normals[3 * t + 1] = ez * fx - ex * fz;
    normals[3 * t + 2] = ex * fy - ey * fx;
    const far = Math.abs(positions[a] - ox) + Math.abs(positions[a + 1] - oy) + Math.abs(positions[a + 2] - oz);
    const [e, f] = [Math.hypot(ex, ey, ez), Math.hypot(fx, fy, fz)];
    slack[t] = 64 * Number.EPSILON * (e * f + far * (e + f));
  }
  const { halfEdges, starts, count: edges } = listEdges(triangles, positions.length / 3);
  const twins = new Uint32Array(triangles.length);
  for (let e = 0; e < edges; e++) {
    const [h, g] = [halfEdges[starts[e]], halfEdges[starts[e] + 1]];
    twins[h] = g;
    twins[g] = h;
  }
  return { positions, triangles, normals, slack, twins, handles };
}

/**
 * Tries to prove that no draw within a cap frees the sand.
 *
 * @param direction Middle of the cap, any length but zero.
 * @param reachDeg How far the cap reaches, degrees. 0 for one draw, which can be proved by handles too.
 * @returns The proof, or `null` where there is none. Deterministic. Cost: two passes over the edges.
 */
export function proveHeldWithin(web: FaceWeb, direction: Vec3, reachDeg = 0): HeldProof | null {
  const d = unitVector(direction);
  const ways = waysOf(web, d, Math.sin(Math.min(Math.PI / 2, radians(reachDeg))));
  for (const side of [1, -1]) {
    const apart = findApart(web, ways, side);
    if (!apart) continue;
    const places = apart.map((face) => middleOf(web, face));
    const where = side > 0 ? 'the cope' : 'the drag';
    const near = reachDeg > 0 ? ` for every draw within ${Number(reachDeg.toFixed(2))}°` : '';
    const sentence = `Proved${near}: what looks towards ${where} is in pieces that no upright wall joins, ${formatLength(distance(places[0], places[1]))} apart, so one of them lies over the other’s sand.`;
    return { by: 'parted faces', places, sentence };
  }
  if (reachDeg > 0 || ways.includes(0)) return null;
  const rims = countRims(web, ways);
  if (rims === web.handles + 1) return null;
  const sentence = `Proved: a body with ${web.handles} handle${web.handles === 1 ? '' : 's'} draws only where cope and drag meet along ${web.handles + 1} loop${web.handles === 0 ? '' : 's'}, and along this draw they would along ${rims}.`;
  return { by: 'handles', places: [], sentence };
}

const distance = (p: Vec3, q: Vec3): number => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);

/** +1 where a face looks along every draw of the cap, −1 where against every one, 0 where it may be upright for some. */
function waysOf({ normals, slack }: FaceWeb, d: Vec3, sine: number): Int8Array {
  const ways = new Int8Array(slack.length);
  for (let t = 0; t < ways.length; t++) {
    const [x, y, z] = [normals[3 * t], normals[3 * t + 1], normals[3 * t + 2]];
    const along = x * d[0] + y * d[1] + z * d[2];
    const limit = slack[t] + sine * (1 + 1e-12) * Math.sqrt(x * x + y * y + z * z);
    ways[t] = along > limit ? 1 : along < -limit ? -1 : 0;
  }
  return ways;
}

/** Two faces that look one way and are not joined by faces that do or may; `null` where all are. */
function findApart({ twins }: FaceWeb, ways: Int8Array, side: number): [number, number] | null {
  const leader = Int32Array.from({ length: ways.length }, (_, i) => i);
  const find = (start: number): number => {
    let i = start;
    while (leader[i] !== i) {
      leader[i] = leader[leader[i]];
      i = leader[i];
    }
    return i;
  };
  for (let h = 0; h < twins.length; h++) {
    const [a, b] = [faceOf(h), faceOf(twins[h])];
    if (a < b && ways[a] * side >= 0 && ways[b] * side >= 0) leader[find(a)] = find(b);
  }
  let first = -1;
  for (let t = 0; t < ways.length; t++) {
    if (ways[t] !== side) continue;
    if (first < 0) first = t;
    else if (find(t) !== find(first)) return [first, t];
  }
  return null;
}

const faceOf = (h: number): number => Math.floor(h / 3);

/** Loops along which the top ends, each followed with the top on its left; loops that touch at a corner stay apart. */
function countRims({ twins }: FaceWeb, ways: Int8Array): number {
  const isRim = (h: number): boolean => ways[faceOf(h)] === 1 && ways[faceOf(twins[h])] !== 1;
  const seen = new Uint8Array(twins.length);
  let rims = 0;
  for (let start = 0; start < twins.length; start++) {
    if (seen[start] || !isRim(start)) continue;
    rims++;
    for (let h = start; !seen[h];) {
      seen[h] = 1;
      // From the corner at its end round through the top until the top ends again.
      h = nextHalfEdge(h);
      while (!isRim(h)) h = nextHalfEdge(twins[h]);
    }
  }
  return rims;
}

function middleOf({ positions, triangles }: FaceWeb, face: number): Vec3 {
  const at = (k: number): number =>
    (positions[3 * triangles[3 * face] + k] +
      positions[3 * triangles[3 * face + 1] + k] +
      positions[3 * triangles[3 * face + 2] + k]) /
    3;
  return [at(0), at(1), at(2)];
}
