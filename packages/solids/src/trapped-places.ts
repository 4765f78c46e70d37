/** The places where sand is trapped, each with its side of the mould and the room that sand leaves for a piece to move in. */
import { boxBody, growBox } from './convert-body.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import type { PreparedDraw } from './prepare-draw.js';
import { sandOf, sweepCope, sweepDrag, sweepHeld } from './trap-sand.js';

/** Sand trapped on one side of the mould. */
export interface TrappedSide {
  /** What holds the sand and would stay in the mould as a loose piece: metal `under` it in the drag, `over` it in the cope. */
  readonly piece: 'under' | 'over';
  /** Separate places, largest first. */
  readonly places: readonly Body[];
  /** The pattern, and with it all that lies on the other side of the joint, where one was given. */
  readonly room: Body;
}

/** Separate places of the sand that a mould tears: by each side of a joint, or held against any where none is given. */
export function trappedPlaces(scope: Scope, draw: PreparedDraw, joint: FramedJoint | null): TrappedSide[] {
  const { mesh, sides, body } = draw;
  const places = (swept: Body | null): Body[] => partsOf(scope, sandOf(scope, swept, body), draw.errorMm3);
  if (!joint) {
    const held = places(sweepHeld(scope, mesh, sides));
    return held.length === 0 ? [] : (['under', 'over'] as const).map((piece) => ({ piece, places: held, room: body }));
  }
  const { min, max } = growBox(mesh.box, 0.01 * spanOf(draw));
  const tall = 2 * spanOf(draw);
  const all = boxBody(scope, { min: [min[0], min[1], min[2] - tall], max: [max[0], max[1], max[2] + tall] });
  const found: TrappedSide[] = [];
  const drag = places(sweepDrag(scope, mesh, sides, joint));
  if (drag.length > 0) found.push({ piece: 'under', places: drag, room: scope.unite([body, joint.over(scope, all)]) });
  const cope = places(sweepCope(scope, mesh, sides, joint));
  if (cope.length > 0) found.push({ piece: 'over', places: cope, room: scope.unite([body, joint.under(scope, all)]) });
  return found;
}

/** The separate parts of a body that are more than a film, largest first. */
export function partsOf(scope: Scope, body: Body | null, least: number): Body[] {
  if (!body) return [];
  const parts = body.decompose().map((part) => scope.own(part));
  const sized = parts.map((part) => ({ part, volume: part.volume() })).filter(({ volume }) => volume > least);
  for (const part of parts) if (!sized.some((kept) => kept.part === part)) scope.free(part);
  return sized.sort((a, b) => b.volume - a.volume).map(({ part }) => part);
}

/** Longest side of the pattern's box, mm. */
export function spanOf({ mesh: { box } }: PreparedDraw): number {
  return Math.max(...[0, 1, 2].map((k) => box.max[k] - box.min[k]));
}
