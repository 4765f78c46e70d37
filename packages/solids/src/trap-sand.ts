/**
 * The sand that a draw tears, as exact solids.
 *
 * The reasoning (castability of a solid along a line, seen in every textbook of two-part moulds; the proof is short): the
 * cope moves up. A grain of sand in it meets metal on the way exactly when there is metal above it. So the torn sand of the
 * cope is what lies over the joint, under some downward face, and is not metal: the downward faces drawn out downwards,
 * cut at the joint, less the pattern. The drag likewise with upward faces drawn out upwards. Sand with metal above and
 * below is torn by every joint: it is held. No grid, no steps: the solids stand on the pattern's own edges.
 */
import type { FramedMesh } from './draw-frame.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { pickFacing } from './pick-facing.js';
import type { FaceSides } from './sort-faces.js';
import { sweepFaces } from './sweep-faces.js';

/** How far the swept faces reach beyond what they must, as a share of the pattern's size, so that no two planes coincide. */
const BEYOND = 0.0002;

/**
 * How far the solid that is united with the pattern begins behind its faces, in roundings. Begun right at them it would be
 * told from the metal by rounding alone, and here and there a gap of no thickness would stay open between them.
 */
const SINK = 2;

/**
 * What no joint can free, as a solid that may reach into the metal: unite it with the pattern to fill it, or cut the
 * pattern from it to have the sand alone. `null` where there is none.
 *
 * @param toUnite True where it is to be united with the pattern: it then reaches a hair into the metal everywhere.
 */
export function sweepHeld(scope: Scope, mesh: FramedMesh, sides: FaceSides, toUnite = false): Body | null {
  const { up, down, ceilings, floors } = pickFacing(mesh, sides);
  // Drawn out only past what is over (or under) each face: short prisms meet far fewer others than tall ones.
  const beyond = BEYOND * sizeOf(mesh);
  const sink = toUnite ? SINK * mesh.rounding : 0;
  const above = sweepFaces(scope, mesh, up, ceilings, beyond, sink);
  const below = above && sweepFaces(scope, mesh, down, floors, -beyond, sink);
  if (!above || !below) return null;
  const both = scope.meet(above, below);
  scope.free(above);
  scope.free(below);
  return solidOrNull(scope, both);
}

/** What the cope tears over a joint, again as a solid that may reach into the metal. */
export function sweepCope(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint): Body | null {
  const swept = drawDown(scope, mesh, sides, joint);
  return swept && halfOf(scope, swept, joint.over(scope, swept));
}

/** What the drag tears under a joint. */
export function sweepDrag(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint): Body | null {
  const swept = drawUp(scope, mesh, sides, joint);
  return swept && halfOf(scope, swept, joint.under(scope, swept));
}

/** Downward faces over a joint moved by `lift`, drawn out down to a little past it. */
export function drawDown(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint, lift = 0): Body | null {
  const faces = sides.down.filter((t) => highOf(mesh, t) > joint.lowestOver(...planOf(mesh, t)) + lift);
  const ends = Float32Array.from(faces, (t) => joint.lowestOver(...planOf(mesh, t)) + lift);
  return sweepFaces(scope, mesh, faces, ends, -BEYOND * sizeOf(mesh));
}

/** Upward faces under a joint, drawn out up to a little past it. */
export function drawUp(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint): Body | null {
  const faces = sides.up.filter((t) => lowOf(mesh, t) < joint.highestOver(...planOf(mesh, t)));
  const ends = Float32Array.from(faces, (t) => joint.highestOver(...planOf(mesh, t)));
  return sweepFaces(scope, mesh, faces, ends, BEYOND * sizeOf(mesh));
}

function halfOf(scope: Scope, swept: Body, half: Body): Body | null {
  scope.free(swept);
  return solidOrNull(scope, half);
}

/** The sand alone: what was swept, less the metal. `null` where nothing is left. */
export function sandOf(scope: Scope, swept: Body | null, pattern: Body): Body | null {
  return swept && solidOrNull(scope, scope.cut(swept, pattern));
}

/** The sand alone as {@link sandOf}, and how much of what was swept the kernel lost over it, mm³: 0 where it worked exactly. */
export function sandAndLoss(
  scope: Scope,
  swept: Body | null,
  pattern: Body,
): { readonly sand: Body | null; readonly lostMm3: number } {
  if (!swept) return { sand: null, lostMm3: 0 };
  const { both, rest } = scope.part(swept, pattern);
  const lostMm3 = Math.abs(swept.volume() - both.volume() - rest.volume());
  scope.free(both);
  return { sand: solidOrNull(scope, rest), lostMm3 };
}

/** The body, or `null` (and it is freed) where it is empty. */
export function solidOrNull(scope: Scope, body: Body): Body | null {
  if (!body.isEmpty()) return body;
  scope.free(body);
  return null;
}

/** A face's box in plan. */
function planOf({ points: p, triangles }: FramedMesh, t: number): readonly [number, number, number, number] {
  const [a, b, c] = [triangles[3 * t] * 3, triangles[3 * t + 1] * 3, triangles[3 * t + 2] * 3];
  return [
    Math.min(p[a], p[b], p[c]),
    Math.min(p[a + 1], p[b + 1], p[c + 1]),
    Math.max(p[a], p[b], p[c]),
    Math.max(p[a + 1], p[b + 1], p[c + 1]),
  ];
}

function lowOf({ points: p, triangles }: FramedMesh, t: number): number {
  return Math.min(p[triangles[3 * t] * 3 + 2], p[triangles[3 * t + 1] * 3 + 2], p[triangles[3 * t + 2] * 3 + 2]);
}

function highOf({ points: p, triangles }: FramedMesh, t: number): number {
  return Math.max(p[triangles[3 * t] * 3 + 2], p[triangles[3 * t + 1] * 3 + 2], p[triangles[3 * t + 2] * 3 + 2]);
}

function sizeOf({ box: { min, max } }: FramedMesh): number {
  return Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
}
