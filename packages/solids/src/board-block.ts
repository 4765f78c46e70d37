/** The block that a follow board is cut from: its plan from flask or margin, and sides that may taper. */
import { OddsideError, plainNumber, radians, type Bounds } from '@oddside/core';
import { boxBody } from './convert-body.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** A board in plan: x0, y0, x1, y1. */
export type Plan = readonly [number, number, number, number];

/** What sets a block's plan, mm. */
export interface BlockWish {
  readonly flask: { readonly length: number; readonly width: number } | undefined;
  readonly margin: number;
  readonly fit: number;
}

/** The plan of the board's back, centred on the pattern. @throws OddsideError `bad-number`. */
export function planOf({ min, max }: Bounds, { flask, margin, fit }: BlockWish): Plan {
  const [x, y] = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];
  const length = flask ? flask.length - 2 * fit : max[0] - min[0] + 2 * margin;
  const width = flask ? flask.width - 2 * fit : max[1] - min[1] + 2 * margin;
  if (!(length > 0) || !(width > 0))
    throw new OddsideError('bad-number', 'The flask must be wider than twice the fit.');
  return [x - length / 2, y - width / 2, x + length / 2, y + width / 2];
}

/** The plan where the sides have drawn in over a depth. @throws OddsideError `bad-number` where nothing is left. */
export function drawnIn([x0, y0, x1, y1]: Plan, depth: number, draftDeg: number): Plan {
  const by = depth * Math.tan(radians(draftDeg));
  if (2 * by >= Math.min(x1 - x0, y1 - y0)) {
    throw new OddsideError(
      'bad-number',
      `wallDraftDeg must leave some of the board’s face, but ${plainNumber(draftDeg)}° over ${plainNumber(depth)} mm draws the sides together. Use less.`,
      { wallDraftDeg: draftDeg },
    );
  }
  return [x0 + by, y0 + by, x1 - by, y1 - by];
}

/** The block from `bottom` to `top`, which is its back: there it fills its plan, and from there its sides draw in. */
export function blockBody(scope: Scope, plan: Plan, bottom: number, top: number, draftDeg: number): Body {
  if (draftDeg === 0) return boxBody(scope, { min: [plan[0], plan[1], bottom], max: [plan[2], plan[3], top] });
  const corners = (at: Plan, z: number): [number, number, number][] => [
    [at[0], at[1], z],
    [at[2], at[1], z],
    [at[0], at[3], z],
    [at[2], at[3], z],
  ];
  const points = [...corners(plan, top), ...corners(drawnIn(plan, top - bottom, draftDeg), bottom)];
  return scope.own(scope.kernel.Manifold.hull(points));
}
