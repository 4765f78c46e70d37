/** Faces seen from one side, closed with walls down to a joint. */
import type { PlainMesh } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';

/** Faces with their walls: closed but for what lies in the joint. */
export interface DroppedSheet extends PlainMesh {
  /** The rim of what is open, loop by loop, as corners of the mesh: anticlockwise round it seen from where the faces look. */
  readonly loops: readonly Uint32Array[];
  /** Of what stands under the faces. */
  readonly volumeMm3: number;
  readonly planMm2: number;
}

/** Corners nearer to the joint than this many roundings lie in it. */
const ON_JOINT = 4;

/** How far corners lie over a joint: 0 for those in it. */
export function heightsOver(
  { points: p, rounding }: FramedMesh,
  way: 1 | -1,
  level: (x: number, y: number) => number,
): Float64Array {
  const over = new Float64Array(p.length / 3);
  for (let k = 0; k < over.length; k++) {
    const height = way * (p[3 * k + 2] - level(p[3 * k], p[3 * k + 1]));
    over[k] = Math.abs(height) <= ON_JOINT * rounding ? 0 : height;
  }
  return over;
}

/**
 * Closes faces down to a joint. Faces that cross it are cut there, each edge once for both its faces.
 *
 * @param over How far each corner lies over the joint.
 * @param level Height of the joint over a place, as 32 bits hold it.
 * Cost: a few passes, about 1 µs a face.
 */
export function dropSheet(
  { points: p, triangles }: FramedMesh,
  faces: Uint32Array,
  way: 1 | -1,
  over: Float64Array,
  level: (x: number, y: number) => number,
): DroppedSheet {
  const { corners, extra } = cutFaces(p, triangles, faces, over, level);
  const { leaderOf, rim } = joinFans(corners, over.length + extra.length / 3);
  // Corners as they are used: first those of the faces, then the feet of the walls.
  const numbers = new Int32Array(corners.length).fill(-1);
  const points = new Float32Array(6 * corners.length);
  const heights = new Float64Array(corners.length);
  let count = 0;
  const triangle = new Uint32Array(corners.length + 6 * rim.length);
  let used = 0;
  const number = (slot: number): number => {
    const first = leaderOf(slot);
    if (numbers[first] >= 0) return numbers[first];
    const corner = corners[first];
    const cut = corner - over.length;
    const [from, at] = cut < 0 ? [p, 3 * corner] : [extra, 3 * cut];
    const height = cut < 0 ? over[corner] : 0;
    points[3 * count] = from[at];
    points[3 * count + 1] = from[at + 1];
    points[3 * count + 2] = height === 0 ? level(from[at], from[at + 1]) : from[at + 2];
    heights[count] = height;
    return (numbers[first] = count++);
  };
  let volume = 0;
  let plan = 0;
  for (let s = 0; s < corners.length; s += 3) {
    const [a, b, c] = [number(s), number(s + 1), number(s + 2)];
    triangle[used++] = a;
    triangle[used++] = b;
    triangle[used++] = c;
    const [ux, uy] = [points[3 * b] - points[3 * a], points[3 * b + 1] - points[3 * a + 1]];
    const [vx, vy] = [points[3 * c] - points[3 * a], points[3 * c + 1] - points[3 * a + 1]];
    const area = (way * (ux * vy - uy * vx)) / 2;
    plan += area;
    volume += (area * (heights[a] + heights[b] + heights[c])) / 3;
  }
  const feet = new Int32Array(count).fill(-1);
  const foot = (corner: number): number => {
    if (heights[corner] === 0) return corner;
    if (feet[corner] >= 0) return feet[corner];
    const [x, y] = [points[3 * corner], points[3 * corner + 1]];
    points[3 * count] = x;
    points[3 * count + 1] = y;
    points[3 * count + 2] = level(x, y);
    return (feet[corner] = count++);
  };
  // Each corner of the rim has one way on: fans that only touch in it have corners of their own.
  const onward = new Int32Array(count).fill(-1);
  for (const slot of rim) {
    const [a, b] = [number(slot), number(after(slot))];
    const [c, d] = [foot(a), foot(b)];
    onward[a] = b;
    if (c !== a) {
      triangle.set([b, a, c], used);
      used += 3;
    }
    if (d !== b) {
      triangle.set([b, c, d], used);
      used += 3;
    }
  }
  const loops: Uint32Array[] = [];
  for (let start = 0; start < onward.length; start++) {
    const loop: number[] = [];
    for (let at = start; onward[at] >= 0;) {
      loop.push(foot(at));
      const to = onward[at];
      onward[at] = -1;
      at = to;
    }
    if (loop.length > 0) loops.push(Uint32Array.from(loop));
  }
  return {
    points: points.slice(0, 3 * count),
    triangles: triangle.slice(0, used),
    loops,
    volumeMm3: volume,
    planMm2: plan,
  };
}

/** What of the faces lies over the joint, as corners three by three; corners past the mesh's own are places in `extra`. */
function cutFaces(
  p: Float32Array,
  triangles: Uint32Array,
  faces: Uint32Array,
  over: Float64Array,
  level: (x: number, y: number) => number,
): { corners: Uint32Array; extra: number[] } {
  const extra: number[] = [];
  const crossings = new Map<number, number>();
  const crossing = (a: number, b: number): number => {
    const [from, to] = a < b ? [a, b] : [b, a];
    const key = from * over.length + to;
    const there = crossings.get(key);
    if (there !== undefined) return there;
    const share = over[from] / (over[from] - over[to]);
    const x = Math.fround(p[3 * from] + share * (p[3 * to] - p[3 * from]));
    const y = Math.fround(p[3 * from + 1] + share * (p[3 * to + 1] - p[3 * from + 1]));
    const made = over.length + extra.push(x, y, level(x, y)) / 3 - 1;
    crossings.set(key, made);
    return made;
  };
  const corners = new Uint32Array(6 * faces.length);
  let used = 0;
  const polygon: number[] = [];
  for (const t of faces) {
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    if (over[a] > 0 && over[b] > 0 && over[c] > 0) {
      corners[used++] = a;
      corners[used++] = b;
      corners[used++] = c;
      continue;
    }
    polygon.length = 0;
    for (let n = 0; n < 3; n++) {
      const [from, to] = [triangles[3 * t + n], triangles[3 * t + ((n + 1) % 3)]];
      if (over[from] >= 0) polygon.push(from);
      if (over[from] * over[to] < 0) polygon.push(crossing(from, to));
    }
    for (let n = 2; n < polygon.length; n++) {
      corners[used++] = polygon[0];
      corners[used++] = polygon[n - 1];
      corners[used++] = polygon[n];
    }
  }
  return { corners: corners.slice(0, used), extra };
}

/** Which slots share a corner by hanging together round it, and the slots that begin an edge of the rim. */
function joinFans(corners: Uint32Array, count: number): { leaderOf: (slot: number) => number; rim: number[] } {
  // Edges still without their other side, listed by the lower of their corners: they lie near one another in memory.
  const heads = new Int32Array(count).fill(-1);
  const nexts = new Int32Array(corners.length);
  const leader = new Uint32Array(corners.length);
  for (let s = 0; s < corners.length; s++) leader[s] = s;
  const leaderOf = (slot: number): number => {
    while (leader[slot] !== slot) slot = leader[slot] = leader[leader[slot]];
    return slot;
  };
  for (let s = 0; s < corners.length; s++) {
    const [a, b] = [corners[s], corners[after(s)]];
    const low = a < b ? a : b;
    let before = -1;
    let across = heads[low];
    while (across >= 0 && (corners[across] !== b || corners[after(across)] !== a)) {
      before = across;
      across = nexts[across];
    }
    if (across < 0) {
      nexts[s] = heads[low];
      heads[low] = s;
      continue;
    }
    if (before < 0) heads[low] = nexts[across];
    else nexts[before] = nexts[across];
    leader[leaderOf(s)] = leaderOf(after(across));
    leader[leaderOf(after(s))] = leaderOf(across);
  }
  const rim: number[] = [];
  for (let low = 0; low < count; low++) for (let s = heads[low]; s >= 0; s = nexts[s]) rim.push(s);
  return { leaderOf, rim };
}

/** The slot of the next corner of the same triangle. */
const after = (slot: number): number => (slot % 3 === 2 ? slot - 2 : slot + 1);
