import { describe, expect, it } from 'vitest';
import { castColumns, CELL_STRIDE, CELL_TOP } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { distanceOutside } from '../../packages/parting/src/fit-tilted-joint.js';
import * as s from '../helpers/shapes.js';

describe('distanceOutside', () => {
  it('is the sum over the columns without metal, one by one, on random planes and margins, seed 5', () => {
    const random = s.seededRandom(5);
    for (let i = 0; i < 300; i++) {
      const mesh = [s.tetrahedron(), s.sphere(1, 2), s.lBracket(), s.box()][i % 4];
      const field = castColumns(s.asPattern(mesh), s.randomDirection(random) as Vec3, 2 + (i % 13));
      const { cells, nu, nv, u0, v0, column } = field;
      const slope = (): number => [0, 1e-12, 1, 1][Math.floor(4 * random())] * (2 * random() - 1);
      const plane = { height: random() - 0.5, slopeU: slope(), slopeV: slope() };
      const level = [plane.height, random() - 0.5, 3][i % 3];
      const pad = Math.floor(7 * random());
      let sum = 0;
      for (let row = -pad; row < nv + pad; row++) {
        for (let x = -pad; x < nu + pad; x++) {
          const within = x >= 0 && row >= 0 && x < nu && row < nv;
          if (within && cells[(row * nu + x) * CELL_STRIDE + CELL_TOP] !== -Infinity) continue;
          const over = plane.height + plane.slopeU * (u0 + x * column) + plane.slopeV * (v0 + row * column);
          sum += Math.abs(over - level);
        }
      }
      // The distances themselves are differences of heights, rounded as those are.
      expect(Math.abs(distanceOutside(plane, field, pad, level) - sum)).toBeLessThan(1e-13 * sum + 1e-13);
    }
  });
});
