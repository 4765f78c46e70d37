/** Faces drawn out along the draw: everything above (or below) them, as one exact solid. */
import { bodyOfArrays } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import { EdgeTable } from './edge-table.js';
import type { Body } from './kernel.js';
import { layInLayers, type SweepEnd } from './lay-in-layers.js';
import { partTouching } from './part-touching.js';
import type { Scope } from './own-bodies.js';

/**
 * The solid between faces and ends beyond them.
 *
 * @param faces Triangles that all look up (`beyond` above 0: drawn out upward), or all look down (`beyond` below 0).
 * @param ends How far each face must be drawn out, mm in the frame; it reaches at least that far and `beyond` farther.
 * @param sink How far behind the faces it begins, mm.
 * @returns The union over all the faces, or `null` where there are none. Exact: its walls stand on the faces' own edges.
 */
export function sweepFaces(
  scope: Scope,
  mesh: FramedMesh,
  faces: Uint32Array,
  ends: Float32Array,
  beyond: number,
  sink = 0,
): Body | null {
  if (faces.length === 0) return null;
  const upward = beyond > 0;
  const { triangles, points } = mesh;
  // One end for each corner, so that faces side by side end in one unbroken surface.
  const heights = new Float32Array(points.length / 3).fill(upward ? -Infinity : Infinity);
  const farther = upward ? Math.max : Math.min;
  for (let k = 0; k < faces.length; k++) {
    const corners = [0, 1, 2].map((n) => triangles[3 * faces[k] + n]);
    const end = farther(ends[k], ...corners.map((corner) => points[3 * corner + 2])) + beyond;
    for (const corner of corners) heights[corner] = farther(heights[corner], end);
  }
  return sweepLayers(scope, mesh, faces, { upward, sink, heightOver: (corner) => heights[corner] });
}

/** The solid between faces that look up and the same faces moved up by a thickness. */
export function thickenFaces(scope: Scope, mesh: FramedMesh, faces: Uint32Array, thickness: number): Body | null {
  if (faces.length === 0) return null;
  const heightOver = (corner: number): number => mesh.points[3 * corner + 2] + thickness;
  return sweepLayers(scope, mesh, faces, { upward: true, sink: 0, heightOver });
}

function sweepLayers(scope: Scope, mesh: FramedMesh, faces: Uint32Array, end: SweepEnd): Body {
  const bodies = layInLayers(mesh, faces, end)
    .flatMap((layer) => partTouching(mesh, layer))
    .flatMap((part) => soundParts(scope, mesh, part, end));
  const all = scope.unite(bodies);
  for (const body of bodies) if (body !== all) scope.free(body);
  return all;
}

/**
 * A layer as bodies whose volume is what its faces say. Where rounding has turned a sliver over, the kernel can take a
 * layer for another solid; it is then halved until each part is right.
 */
function soundParts(scope: Scope, mesh: FramedMesh, layer: Uint32Array, end: SweepEnd): Body[] {
  const { points, triangles } = drawOut(mesh, layer, end);
  const body = bodyOfArrays(scope, points, triangles, 'Faces drawn out along the draw');
  const { volume, slack } = volumeUnder(mesh, layer, end);
  if (layer.length === 1 || Math.abs(body.volume() - volume) <= slack) return [body];
  scope.free(body);
  const half = layer.length >> 1;
  return [layer.subarray(0, half), layer.subarray(half)].flatMap((part) => soundParts(scope, mesh, part, end));
}

/** Volume between faces and their ends, and how far rounding can move it. */
function volumeUnder(
  { points: p, triangles, rounding }: FramedMesh,
  layer: Uint32Array,
  end: SweepEnd,
): { volume: number; slack: number } {
  let volume = 0;
  let slack = 0;
  for (const t of layer) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
    const [ux, uy, vx, vy] = [p[b] - p[a], p[b + 1] - p[a + 1], p[c] - p[a], p[c + 1] - p[a + 1]];
    const ends = end.heightOver(a / 3) + end.heightOver(b / 3) + end.heightOver(c / 3);
    const height = Math.abs(ends - p[a + 2] - p[b + 2] - p[c + 2]) / 3 + end.sink;
    volume += (Math.abs(ux * vy - uy * vx) / 2) * height;
    slack += (Math.hypot(ux, uy) + Math.hypot(vx, vy)) * height;
  }
  return { volume, slack: 4 * rounding * slack };
}

/**
 * One layer as a closed mesh: the faces, the same faces at their ends, and walls along the layer's rim. Where two parts
 * of a layer touch in a corner only, each gets a corner of its own: four walls on one upright edge are no solid.
 */
function drawOut(
  mesh: FramedMesh,
  layer: Uint32Array,
  end: SweepEnd,
): { points: Float32Array; triangles: Uint32Array } {
  const { upward } = end;
  // Each face counter-clockwise seen from the cope; `slots` are the corners of the faces, each its own at first.
  const slots = new Uint32Array(layer.length * 3);
  const edges = new EdgeTable(3 * layer.length);
  for (let k = 0; k < layer.length; k++) {
    const t = 3 * layer[k];
    slots[3 * k] = mesh.triangles[t];
    slots[3 * k + 1] = mesh.triangles[t + (upward ? 1 : 2)];
    slots[3 * k + 2] = mesh.triangles[t + (upward ? 2 : 1)];
    for (let n = 0; n < 3; n++) edges.set(slots[3 * k + n], slots[3 * k + next(n)], 3 * k + n);
  }
  const leader = Uint32Array.from(slots, (_, k) => k);
  const leaderOf = (slot: number): number => {
    while (leader[slot] !== slot) slot = leader[slot] = leader[leader[slot]];
    return slot;
  };
  const rim: number[] = [];
  for (let slot = 0; slot < slots.length; slot++) {
    const tail = slot - (slot % 3) + next(slot % 3);
    if (edges.get(slots[slot], slots[tail]) !== slot) continue;
    const across = edges.get(slots[tail], slots[slot]);
    if (across < 0) rim.push(slot);
    else {
      leader[leaderOf(slot)] = leaderOf(across - (across % 3) + next(across % 3));
      leader[leaderOf(tail)] = leaderOf(across);
    }
  }
  const numberOf = new Int32Array(slots.length).fill(-1);
  const used: number[] = [];
  const corner = (slot: number): number => {
    const first = leaderOf(slot);
    if (numberOf[first] < 0) numberOf[first] = used.push(slots[first]) - 1;
    return numberOf[first];
  };
  for (let slot = 0; slot < slots.length; slot++) corner(slot);
  const count = used.length;
  const triangles = new Uint32Array(slots.length * 2 + rim.length * 6);
  let at = 0;
  for (let k = 0; k < slots.length; k += 3) {
    const [a, b, c] = [corner(k), corner(k + 1), corner(k + 2)];
    triangles.set([a, c, b, a + count, b + count, c + count], at);
    at += 6;
  }
  for (const slot of rim) {
    const [p, q] = [corner(slot), corner(slot - (slot % 3) + next(slot % 3))];
    triangles.set([p, q, q + count, p, q + count, p + count], at);
    at += 6;
  }
  // The lower half of the corners is at the faces when drawn out upward, at the ends when drawn out downward.
  const points = new Float32Array(count * 6);
  const behind = upward ? -end.sink : end.sink;
  const [faces, far] = upward ? [0, 3 * count] : [3 * count, 0];
  for (let i = 0; i < count; i++) {
    const [x, y, z] = mesh.points.subarray(3 * used[i], 3 * used[i] + 3);
    points.set([x, y, z + behind], faces + 3 * i);
    points.set([x, y, end.heightOver(used[i])], far + 3 * i);
  }
  return { points, triangles };
}

const next = (n: number): number => (n + 1) % 3;
