/**
 * A free-form joint whose steps have draft. A step that stands too steep is leant over about its own middle, by as much as it
 * takes and no more; the joint keeps its heights wherever the pattern is, because there it must meet the rim.
 *
 * Of all surfaces that lean enough, the highest under the joint and the lowest over it are found by sweeps (the extensions
 * of McShane and Whitney, on steps from node to node); the mean of the two leans enough as well.
 */
import { dot, radians, subtract } from '@oddside/core';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { FrameColumns } from './frame-columns.js';
import type { SurfaceJoint } from './joint.js';

/**
 * The joint with draft on its steps; the very joint that came where they have it. A step along the grid gets up to
 * √2 of the draft's tangent, so that one across it still has the whole.
 *
 * @param held Nodes that must stay: 1. Between those a step stays as it is.
 */
export function easeSteps(joint: SurfaceJoint, held: Uint8Array, draftDeg: number): SurfaceJoint {
  const { column, nu, nv, heights } = joint;
  const steepest = column / Math.tan(radians(draftDeg));
  if (!standsSteep(joint, held, steepest)) return joint;
  const fall = steepest / Math.SQRT2;
  const spread = (way: 1 | -1, only: Uint8Array | null): Float64Array => {
    const out = heights.map((height, k) => (only && only[k] === 0 ? Infinity : way * height));
    sweepDown(out, nu, nv, fall);
    return out.map((height) => way * height);
  };
  // Not over these and not under those, from every node and from the held ones alone.
  const [over, under] = [spread(1, null), spread(-1, null)];
  const [overHeld, underHeld] = [spread(1, held), spread(-1, held)];
  const eased = heights.map((height, k) => {
    if (held[k] === 1) return height;
    const [low, high] = [underHeld[k], overHeld[k]];
    // Held nodes may contradict each other; between them the steps are shared out, and what is left is measured.
    if (low > high) return (low + high) / 2;
    return Math.max(low, Math.min(high, (over[k] + under[k]) / 2));
  });
  return { ...joint, heights: eased };
}

/** Nodes within the shadow of a pattern, and a node round it. */
export function nodesInShadow(joint: SurfaceJoint, frame: DrawFrame, { x, y, top, column }: FrameColumns): Uint8Array {
  const { nu, nv } = joint;
  const held = new Uint8Array(nu * nv);
  const reach = column / 2 / joint.column + 1;
  for (let k = 0; k < x.length; k++) {
    if (top[k] === -Infinity) continue;
    const at = subtract(outOfFrame(frame, x[k], y[k], 0), joint.origin);
    const i = (dot(at, joint.u) - joint.u0) / joint.column;
    const j = (dot(at, joint.v) - joint.v0) / joint.column;
    for (let n = Math.max(0, Math.ceil(j - reach)); n <= Math.min(nv - 1, j + reach); n++) {
      for (let m = Math.max(0, Math.ceil(i - reach)); m <= Math.min(nu - 1, i + reach); m++) held[n * nu + m] = 1;
    }
  }
  return held;
}

/** Does any triangle of the joint that may move rise more than this from node to node? */
function standsSteep({ nu, nv, heights }: SurfaceJoint, held: Uint8Array, steepest: number): boolean {
  const most = (steepest * (1 + 1e-9)) ** 2;
  const steep = (corner: number, beside: number, along: number): boolean =>
    held[corner] + held[beside] + held[along] < 3 &&
    (heights[beside] - heights[corner]) ** 2 + (heights[along] - heights[corner]) ** 2 > most;
  for (let j = 0; j + 1 < nv; j++) {
    for (let i = 0; i + 1 < nu; i++) {
      const k = j * nu + i;
      if (steep(k, k + 1, k + nu) || steep(k + nu + 1, k + nu, k + 1)) return true;
    }
  }
  return false;
}

/** Lowers what stands more than a fall over a neighbour: two sweeps settle it, as for distances along streets. */
function sweepDown(values: Float64Array, nu: number, nv: number, fall: number): void {
  for (let k = 0; k < values.length; k++) {
    if (k % nu > 0) values[k] = Math.min(values[k], values[k - 1] + fall);
    if (k >= nu) values[k] = Math.min(values[k], values[k - nu] + fall);
  }
  for (let k = values.length - 1; k >= 0; k--) {
    if (k % nu < nu - 1) values[k] = Math.min(values[k], values[k + 1] + fall);
    if (k + nu < nu * nv) values[k] = Math.min(values[k], values[k + nu] + fall);
  }
}
