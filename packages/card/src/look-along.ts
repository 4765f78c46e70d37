/** Where to stand so that a draw points up. */
import { cross, unitVector, type Vec3 } from '@oddside/core';

/**
 * The view from above and in front of a pattern that is drawn along `draw`: what the pictures of the candidates use, so
 * that they can be compared.
 *
 * @returns `look` and `up` for `renderView`.
 * @throws OddsideError `bad-direction`.
 */
export function lookAlong(draw: Vec3): { readonly look: Vec3; readonly up: Vec3 } {
  const up = unitVector(draw, 'The draw');
  const least = up.reduce((best, part, k) => (Math.abs(part) < Math.abs(up[best]) ? k : best), 0);
  const axis: Vec3 = [least === 0 ? 1 : 0, least === 1 ? 1 : 0, least === 2 ? 1 : 0];
  const side = unitVector(cross(axis, up));
  const front = cross(up, side);
  const mix = (k: number): number => -0.42 * side[k] + 0.78 * front[k] - 0.46 * up[k];
  return { look: [mix(0), mix(1), mix(2)], up };
}
