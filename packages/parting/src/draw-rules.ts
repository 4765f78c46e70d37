/** By what draws are judged in a search. Plain data, so that it can be sent to a thread as it is. */
import { angleBetweenDeg, dot, scale as times, type Vec3 } from '@oddside/core';
import type { DrawLimits } from './draw-limits.js';
import type { PartingWeights } from './parting-weights.js';
import type { PartingScale } from './score-draw.js';
import type { SideFigures } from './which-side-up.js';

/** Draws within an angle of an axis; either way along it unless `oneWay`. */
export interface DrawCone {
  readonly axis: Vec3;
  readonly withinDeg: number;
  readonly oneWay: boolean;
}

/** A face whose middle the parting line must not cross: its normals in bundles, x y z and area each. */
export interface FacedArea {
  readonly bundles: Float64Array;
}

/** What draws are compared by. */
export interface DrawRules {
  readonly scale: PartingScale;
  readonly weights: PartingWeights;
  readonly sides: SideFigures;
  readonly limits: DrawLimits;
  /** All of which a draw must lie in. */
  readonly cones: readonly DrawCone[];
  readonly unmarked: readonly FacedArea[];
}

/** A draw on the very edge of a cone is in it. */
const EDGE_DEG = 1e-6;

/** Whether a draw, this way up, lies in all cones. */
export function admitsDraw(cones: readonly DrawCone[], draw: Vec3): boolean {
  return cones.every(({ axis, withinDeg, oneWay }) => {
    const angle = angleBetweenDeg(axis, draw);
    return (oneWay ? angle : Math.min(angle, 180 - angle)) <= withinDeg + EDGE_DEG;
  });
}

/** Whether a draw or its opposite lies in all cones. */
export function admitsEitherWay(cones: readonly DrawCone[], draw: Vec3): boolean {
  return admitsDraw(cones, draw) || admitsDraw(cones, times(draw, -1));
}

/** Sine of 4°: what stands closer to the draw is a wall, along which the line can still choose its height. */
const WALL = 0.07;
/** Share of a face that may look the other way before the shadow's edge is taken to run across it. */
const TURNED = 0.08;

/** How far faces that must not be marked look both ways along a draw, so that its rim must run across them; 0 where none does. */
export function acrossFaces(unmarked: readonly FacedArea[], draw: Vec3): number {
  let sum = 0;
  for (const { bundles } of unmarked) {
    let [up, down, all] = [0, 0, 0];
    for (let i = 0; i < bundles.length; i += 4) {
      const sine = dot([bundles[i], bundles[i + 1], bundles[i + 2]], draw);
      all += bundles[i + 3];
      if (sine > WALL) up += bundles[i + 3];
      if (sine < -WALL) down += bundles[i + 3];
    }
    const across = all > 0 ? Math.min(up, down) / all : 0;
    if (across > TURNED) sum += across;
  }
  return sum;
}
