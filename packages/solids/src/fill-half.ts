/** One half of a pattern with what that half would tear filled: only its own filling is made, and only its own side is united. */
import type { FramedJoint } from './frame-joint.js';
import { halfUnderSeen } from './half-under-seen.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import type { PreparedDraw } from './prepare-draw.js';
import { drawDown, drawUp, sweepHeld } from './trap-sand.js';

/** Makes the halves of a pattern along one joint. What both need is made once. */
export interface HalfMaker {
  /** The half on the cope's side of the joint moved by `lift` along the draw, and the one on the drag's side. */
  cope(lift?: number): Body;
  drag(): Body;
}

/**
 * Filled halves. Along a plane everything that the joint tears is filled; along a free-form joint only held sand, because
 * that joint meets the rim to a column's width and must not be given a step there.
 */
export function fillHalves(scope: Scope, draw: PreparedDraw, joint: FramedJoint): HalfMaker {
  const { mesh, sides, body } = draw;
  if (!joint.plane) {
    const held = sweepHeld(scope, mesh, sides);
    const filled = held ? scope.unite([body, held]) : body;
    return { cope: (lift) => joint.over(scope, filled, lift), drag: () => joint.under(scope, filled) };
  }
  // Metal and filling are united a little past the joint and cut along it together, so that their faces do not coincide.
  const past = 0.01 * (mesh.box.max[2] - mesh.box.min[2]);
  return {
    cope(lift = 0) {
      const seen = halfUnderSeen(scope, draw, joint, lift, 1);
      if (seen) return seen;
      const filling = drawDown(scope, mesh, sides, joint, lift);
      if (!filling) return joint.over(scope, body, lift);
      return cutTogether(scope, joint.over(scope, body, lift - past), filling, (both) => joint.over(scope, both, lift));
    },
    drag() {
      const seen = halfUnderSeen(scope, draw, joint, 0, -1);
      if (seen) return seen;
      const filling = drawUp(scope, mesh, sides, joint);
      if (!filling) return joint.under(scope, body);
      return cutTogether(scope, joint.under(scope, body, past), filling, (both) => joint.under(scope, both));
    },
  };
}

/** The halves of a pattern as it is. */
export function plainHalves(scope: Scope, { body }: PreparedDraw, joint: FramedJoint): HalfMaker {
  return { cope: (lift) => joint.over(scope, body, lift), drag: () => joint.under(scope, body) };
}

function cutTogether(scope: Scope, metal: Body, filling: Body, cut: (both: Body) => Body): Body {
  const both = scope.unite([metal, filling]);
  const half = cut(both);
  for (const each of [metal, filling, both]) scope.free(each);
  return half;
}
