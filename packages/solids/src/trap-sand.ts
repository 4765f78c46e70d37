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

/** How far the swept faces reach beyond the pattern, as a share of its height, so that no two planes coincide. */
const BEYOND = 0.01;

/**
 * What no joint can free, as a solid that may reach into the metal: unite it with the pattern to fill it, or cut the
 * pattern from it to have the sand alone. `null` where there is none.
 */
export function sweepHeld(scope: Scope, mesh: FramedMesh, sides: FaceSides): Body | null {
  const { up, down } = pickFacing(mesh, sides);
  return meetSwept(scope, mesh, up, down);
}

function meetSwept(scope: Scope, mesh: FramedMesh, up: Uint32Array, down: Uint32Array): Body | null {
  const above = sweepFaces(scope, mesh, up, topOf(mesh));
  const below = above && sweepFaces(scope, mesh, down, bottomOf(mesh));
  if (!above || !below) return null;
  const both = scope.meet(above, below);
  scope.free(above);
  scope.free(below);
  return solidOrNull(scope, both);
}

/** What the cope tears over a joint, again as a solid that may reach into the metal. */
export function sweepCope(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint): Body | null {
  const faces = sides.down.filter((t) => reaches(mesh, t, joint, 1));
  const swept = sweepFaces(scope, mesh, faces, bottomOf(mesh, joint));
  return swept && halfOf(scope, swept, joint.over(scope, swept));
}

/** What the drag tears under a joint. */
export function sweepDrag(scope: Scope, mesh: FramedMesh, sides: FaceSides, joint: FramedJoint): Body | null {
  const faces = sides.up.filter((t) => reaches(mesh, t, joint, -1));
  const swept = sweepFaces(scope, mesh, faces, topOf(mesh, joint));
  return swept && halfOf(scope, swept, joint.under(scope, swept));
}

function halfOf(scope: Scope, swept: Body, half: Body): Body | null {
  scope.free(swept);
  return solidOrNull(scope, half);
}

/** The sand alone: what was swept, less the metal. `null` where nothing is left. */
export function sandOf(scope: Scope, swept: Body | null, pattern: Body): Body | null {
  return swept && solidOrNull(scope, scope.cut(swept, pattern));
}

/** The body, or `null` (and it is freed) where it is empty. */
export function solidOrNull(scope: Scope, body: Body): Body | null {
  if (!body.isEmpty()) return body;
  scope.free(body);
  return null;
}

/** Does any of a face lie on the given side of the joint? On the safe side: true in doubt. */
function reaches({ points: p, triangles }: FramedMesh, t: number, joint: FramedJoint, side: 1 | -1): boolean {
  const [a, b, c] = [triangles[3 * t] * 3, triangles[3 * t + 1] * 3, triangles[3 * t + 2] * 3];
  const box = [
    Math.min(p[a], p[b], p[c]),
    Math.min(p[a + 1], p[b + 1], p[c + 1]),
    Math.max(p[a], p[b], p[c]),
    Math.max(p[a + 1], p[b + 1], p[c + 1]),
  ] as const;
  if (side > 0) return Math.max(p[a + 2], p[b + 2], p[c + 2]) > joint.lowestOver(...box);
  return Math.min(p[a + 2], p[b + 2], p[c + 2]) < joint.highestOver(...box);
}

function bounds({ box }: FramedMesh, joint?: FramedJoint): readonly [number, number, number] {
  const plan = [box.min[0], box.min[1], box.max[0], box.max[1]] as const;
  const low = Math.min(box.min[2], joint ? joint.lowestOver(...plan) : Infinity);
  const high = Math.max(box.max[2], joint ? joint.highestOver(...plan) : -Infinity);
  return [low, high, BEYOND * Math.max(high - low, box.max[0] - box.min[0], box.max[1] - box.min[1])];
}

function topOf(mesh: FramedMesh, joint?: FramedJoint): number {
  const [, high, beyond] = bounds(mesh, joint);
  return high + beyond;
}

function bottomOf(mesh: FramedMesh, joint?: FramedJoint): number {
  const [low, , beyond] = bounds(mesh, joint);
  return low - beyond;
}
