/** Which faces are seen from one side along the draw, over a joint: those that look there and have no other over them. */
import type { FramedMesh } from './draw-frame.js';
import { EdgeTable } from './edge-table.js';
import { findCovered } from './find-covered.js';
import type { FaceSides } from './sort-faces.js';

/** What is seen from ahead. */
export interface SeenFaces {
  /** Faces that look ahead with none over them, and the upright ones that join them to one another. */
  readonly seen: Uint32Array;
  /** The other faces that look ahead: what lies over the joint must be covered by those seen. */
  readonly hidden: Uint32Array;
}

/** Faces thinner in plan than this many roundings stand upright: which way they look matters little. */
const UPRIGHT = 128;

/** What a face is: looking back, seen, upright, or upright and joined to what is seen. */
const [BACK, SEEN, UPRIGHT_FACE, JOINED] = [0, 1, 2, 3];

/**
 * Picks the faces.
 *
 * @param way 1: seen by the cope, from above; −1: seen by the drag, from below.
 * @param over How far each corner lies over the joint; faces without a corner over it are left out.
 * @param mostOpenMm2 Where more of the hidden faces than this seems open ahead after all, no more time is spent.
 * @returns A good guess, or `null`: faces are judged by their middles, and the caller checks that none lies partly over another. Cost:
 * about 1 µs a face.
 */
export function pickSeen(
  mesh: FramedMesh,
  sides: FaceSides,
  way: 1 | -1,
  over: Float64Array,
  mostOpenMm2: number,
): SeenFaces | null {
  const { triangles } = mesh;
  const isOver = (t: number): boolean =>
    over[triangles[3 * t]] > 0 || over[triangles[3 * t + 1]] > 0 || over[triangles[3 * t + 2]] > 0;
  const kinds = new Uint8Array(triangles.length / 3).fill(UPRIGHT_FACE);
  for (const t of sides.up) if (!standsUpright(mesh, t)) kinds[t] = BACK;
  for (const t of sides.down) if (!standsUpright(mesh, t)) kinds[t] = BACK;
  const ahead = (way > 0 ? sides.up : sides.down).filter(isOver);
  const { covered, openMm2 } = findCovered(mesh, ahead, way);
  if (openMm2 > mostOpenMm2) return null;
  const open = new Uint8Array(kinds.length);
  ahead.forEach((t, k) => {
    if (covered[k] === 1) return;
    open[t] = 1;
    if (kinds[t] === BACK) kinds[t] = SEEN;
  });
  joinUpright(mesh, kinds, open, way);
  const seen = new Uint32Array(kinds.length);
  let count = 0;
  for (let t = 0; t < kinds.length; t++) {
    if (kinds[t] === SEEN || (kinds[t] === JOINED && isOver(t))) seen[count++] = t;
  }
  return { seen: seen.slice(0, count), hidden: ahead.filter((t) => kinds[t] !== SEEN && kinds[t] !== JOINED) };
}

function standsUpright({ points: p, triangles, rounding }: FramedMesh, t: number): boolean {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const [ux, uy, vx, vy] = [p[b] - p[a], p[b + 1] - p[a + 1], p[c] - p[a], p[c + 1] - p[a + 1]];
  const longest = Math.max(ux * ux + uy * uy, vx * vx + vy * vy, (ux - vx) ** 2 + (uy - vy) ** 2);
  return (ux * vy - uy * vx) ** 2 <= (UPRIGHT * rounding) ** 2 * longest;
}

/**
 * Joins upright faces to the seen ones at whose edge they rise: a step then needs no walls face to face. Those that hang
 * from a face that looks back stay out. What is left and open to the side ahead is seen where it hangs on to something seen.
 */
function joinUpright(mesh: FramedMesh, kinds: Uint8Array, open: Uint8Array, way: 1 | -1): void {
  const upright: number[] = [];
  for (let t = 0; t < kinds.length; t++) if (kinds[t] === UPRIGHT_FACE) upright.push(t);
  if (upright.length === 0) return;
  const across = listAcross(mesh, upright);
  const buried = new Uint8Array(kinds.length);
  let front: number[] = [];
  upright.forEach((t, k) => {
    for (let n = 0; n < 3; n++) {
      const other = across[3 * k + n];
      if (other < 0 || (kinds[other] !== SEEN && kinds[other] !== BACK)) continue;
      const end = endAt(mesh, t, n, way);
      if (kinds[other] === SEEN && end < 0) kinds[t] = JOINED;
      else if (kinds[other] === BACK && end > 0) buried[t] = 1;
    }
    if (kinds[t] === JOINED || buried[t] === 1) front.push(k);
  });
  const placeOf = new Int32Array(kinds.length).fill(-1);
  upright.forEach((t, k) => (placeOf[t] = k));
  spread(front, (k, n) => {
    const other = across[3 * k + n];
    if (other < 0 || kinds[other] !== UPRIGHT_FACE || buried[other] === 1) return -1;
    if (kinds[upright[k]] === JOINED) kinds[other] = JOINED;
    else buried[other] = 1;
    return placeOf[other];
  });
  const show = (t: number): boolean => {
    if (kinds[t] !== UPRIGHT_FACE || open[t] === 0) return false;
    kinds[t] = SEEN;
    return true;
  };
  front = [...upright.keys()].filter((k) => {
    const besides = [0, 1, 2].some((n) => {
      const other = across[3 * k + n];
      return other >= 0 && placeOf[other] < 0 && kinds[other] === SEEN;
    });
    return besides && show(upright[k]);
  });
  spread(front, (k, n) => (across[3 * k + n] >= 0 && show(across[3 * k + n]) ? placeOf[across[3 * k + n]] : -1));
  // What hangs on by one edge only joins nothing: it would stand alone as a wall without thickness.
  const inSheet = (t: number): boolean => t >= 0 && (kinds[t] === SEEN || kinds[t] === JOINED);
  const hangs = (k: number): boolean =>
    inSheet(upright[k]) && [0, 1, 2].filter((n) => inSheet(across[3 * k + n])).length < 2;
  const drop = (k: number): boolean => {
    if (!hangs(k)) return false;
    kinds[upright[k]] = UPRIGHT_FACE;
    return true;
  };
  front = [...upright.keys()].filter(drop);
  spread(front, (k, n) => {
    const place = across[3 * k + n] < 0 ? -1 : placeOf[across[3 * k + n]];
    return place >= 0 && drop(place) ? place : -1;
  });
}

/** Goes on from places over their three edges, as long as `step` names a place beyond one. */
function spread(front: number[], step: (place: number, edge: number) => number): void {
  while (front.length > 0) {
    const further: number[] = [];
    for (const k of front) {
      for (let n = 0; n < 3; n++) {
        const place = step(k, n);
        if (place >= 0) further.push(place);
      }
    }
    front = further;
  }
}

/** The face across each edge of some faces, -1 where there is none. */
function listAcross({ points, triangles }: FramedMesh, faces: readonly number[]): Int32Array {
  const edges = new EdgeTable(3 * faces.length);
  const touched = new Uint8Array(points.length / 3);
  faces.forEach((t, k) => {
    for (let n = 0; n < 3; n++) {
      edges.set(triangles[3 * t + n], triangles[3 * t + next(n)], 3 * k + n);
      touched[triangles[3 * t + n]] = 1;
    }
  });
  const across = new Int32Array(3 * faces.length).fill(-1);
  for (let t = 0; t < triangles.length / 3; t++) {
    for (let n = 0; n < 3; n++) {
      const [a, b] = [triangles[3 * t + n], triangles[3 * t + next(n)]];
      if (touched[a] === 0 || touched[b] === 0) continue;
      const at = edges.get(b, a);
      if (at >= 0) across[at] = t;
    }
  }
  return across;
}

/** At which end of an upright face an edge lies: 1 ahead, −1 behind, 0 where that is not told. */
function endAt({ points: p, triangles }: FramedMesh, t: number, n: number, way: 1 | -1): number {
  const a = 3 * triangles[3 * t + n];
  const b = 3 * triangles[3 * t + next(n)];
  const c = 3 * triangles[3 * t + next(next(n))];
  const [ex, ey] = [p[b] - p[a], p[b + 1] - p[a + 1]];
  const square = ex * ex + ey * ey;
  if (square === 0) return 0;
  const share = ((p[c] - p[a]) * ex + (p[c + 1] - p[a + 1]) * ey) / square;
  return way * Math.sign(p[a + 2] + share * (p[b + 2] - p[a + 2]) - p[c + 2]);
}

const next = (n: number): number => (n + 1) % 3;
