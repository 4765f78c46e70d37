import { describe, expect, it } from 'vitest';
import { castColumns, CELL_BOTTOM, CELL_STRIDE, CELL_TOP } from '@oddside/parting';
import { extendJoint, fitsCorridor } from '../../packages/parting/src/extend-joint.js';
import type { Corridor } from '../../packages/parting/src/sloped-grid.js';
import * as s from '../helpers/shapes.js';

type Z = readonly [number, number, number];

function cast(
  mesh: s.Mesh,
  draw: Z,
  columns: number,
  slope: number,
): { field: ReturnType<typeof castColumns>; corridor: Corridor } {
  const field = castColumns(s.asPattern(mesh), draw, columns);
  const { cells, nu: width, nv: height } = field;
  const pick = (place: number): Float64Array =>
    Float64Array.from({ length: width * height }, (_, i) => cells[CELL_STRIDE * i + place]);
  const corridor = { width, height, low: pick(CELL_BOTTOM), high: pick(CELL_TOP), most: slope * field.column };
  return { field, corridor };
}

/** Every pair of columns asked. */
function fitsByPairs({ width, low, high, most }: Corridor): boolean {
  for (let i = 0; i < low.length; i++) {
    for (let j = 0; j < low.length; j++) {
      if (!(low[i] <= high[i] && low[j] <= high[j])) continue;
      const far = Math.hypot((i % width) - (j % width), Math.floor(i / width) - Math.floor(j / width));
      if (low[i] - high[j] > most * far + 1e-9) return false;
    }
  }
  return true;
}

describe('fitsCorridor', () => {
  it('agrees with asking every pair of columns, on random solids and slopes', () => {
    const random = s.seededRandom(77);
    let fitting = 0;
    for (let i = 0; i < 60; i++) {
      const mesh = [s.tetrahedron(), s.box(), s.torus(3, 1, 24, 12), s.lBracket(), s.sphere(1, 2)][i % 5];
      const { corridor } = cast(mesh, s.randomDirection(random) as Z, 14, 0.1 + 1.5 * random());
      const fits = fitsByPairs(corridor);
      if (fits) fitting++;
      expect(fitsCorridor(corridor, 1e-9)).toBe(fits);
    }
    expect(fitting).toBeGreaterThan(10);
    expect(fitting).toBeLessThan(50);
  });
});

describe('extendJoint', () => {
  it('is as near to the flat joint as every pair of pattern and sand column allows, and counts the distances', () => {
    const random = s.seededRandom(78);
    let checked = 0;
    for (let i = 0; i < 30; i++) {
      const mesh = [s.tetrahedron(), s.sphere(1, 2), s.box([0, 0, 0], [3, 2, 1])][i % 3];
      const { field, corridor } = cast(mesh, s.randomDirection(random) as Z, 12, 0.6 + random());
      if (!fitsByPairs(corridor)) continue;
      const { width, height, low, high, most } = corridor;
      const flat = field.lowest + random() * (field.highest - field.lowest);
      const pad = 5;
      const { outside, heightAt } = extendJoint(corridor, pad, flat);
      let sum = 0;
      for (let row = -pad; row < height + pad; row++) {
        for (let x = -pad; x < width + pad; x++) {
          let [least, greatest] = [-Infinity, Infinity];
          for (let k = 0; k < low.length; k++) {
            if (low[k] > high[k]) continue;
            const far = Math.hypot((k % width) - x, Math.floor(k / width) - row);
            least = Math.max(least, low[k] - most * far);
            greatest = Math.min(greatest, high[k] + most * far);
          }
          const z = Math.min(Math.max(flat, least), greatest);
          // Handing cones from column to column may miss a patch cut off by less than a column.
          expect(Math.abs(heightAt(x, row) - z)).toBeLessThan(0.2 * most);
          const metal =
            x >= 0 && row >= 0 && x < width && row < height && low[row * width + x] <= high[row * width + x];
          if (!metal) sum += Math.abs(z - flat);
        }
      }
      expect(Math.abs(outside - sum)).toBeLessThanOrEqual(0.01 * sum);
      checked++;
    }
    expect(checked).toBeGreaterThan(8);
  });
});
