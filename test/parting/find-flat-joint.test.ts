import { describe, expect, it } from 'vitest';
import { castColumns, chooseHeight, findFlatJoint, misfitLength } from '@oddside/parting';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('findFlatJoint', () => {
  it('is the middle of all column ends, found by sorting them', () => {
    const random = s.seededRandom(4);
    for (const mesh of [bunnyMesh(), s.pinnedStairs(), s.torus(1, 0.4), s.blockyMug(), s.tetrahedron()]) {
      for (let i = 0; i < 4; i++) {
        const field = castColumns(s.asPattern(mesh), s.randomDirection(random), 33 + 20 * i);
        const ends: number[] = [];
        for (let k = 0; k < field.cells.length; k += 4) {
          if (field.cells[k] > -Infinity) ends.push(field.cells[k], field.cells[k + 1]);
        }
        ends.sort((a, b) => a - b);
        const found = findFlatJoint(field);
        expect(found.low).toBe(ends[ends.length / 2 - 1]);
        expect(found.high).toBe(ends[ends.length / 2]);
        expect(found.height).toBeGreaterThanOrEqual(found.low - 1e-9);
        expect(found.height).toBeLessThanOrEqual(found.high + 1e-9);
        for (const h of ends.filter((_, k) => k % 97 === 0)) {
          expect(misfitLength(field.cells, h) * field.column ** 2).toBeGreaterThanOrEqual(
            found.misfitMm3 * (1 - 1e-12),
          );
        }
      }
    }
  });

  it('a field without metal has a joint in the middle of nothing', () => {
    const sheet = { positions: Float64Array.of(0, 0, 0, 0, 0, 1, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) };
    expect(findFlatJoint(castColumns(s.asPattern(sheet), [0, 0, 1], 8))).toMatchObject({ misfitMm3: 0 });
  });
});

describe('chooseHeight', () => {
  it.each([
    ['the top where it is as good as any', 2, 10, 0, 10, 10],
    ['the bottom where only that is', 0, 4, 0, 10, 0],
    ['the middle otherwise', 2, 4, 0, 10, 3],
    ['the top within rounding', 2, 10 - 1e-12, 0, 10, 10],
  ])('%s', (_name, low, high, lowest, highest, expected) => {
    expect(chooseHeight(low, high, lowest, highest)).toBe(expected);
  });
});
