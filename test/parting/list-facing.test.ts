import { dot, type Vec3 } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import { gatherByCell, listFacing, nearCircle } from '../../packages/parting/src/list-facing.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('listFacing', () => {
  it('lists every face that has an area once, of unit length, with twice its area', () => {
    const { normals, areas, total, starts } = listFacing(s.asPattern(s.box([0, 0, 0], [2, 3, 5])));
    expect(areas).toHaveLength(12);
    expect(total).toBeCloseTo(2 * 62, 12);
    expect(areas.reduce((sum, area) => sum + area, 0)).toBeCloseTo(total, 12);
    expect(starts.at(-1)).toBe(12);
    for (let i = 0; i < 12; i++) expect(Math.hypot(...normals.subarray(3 * i, 3 * i + 3))).toBeCloseTo(1, 12);
  });

  it('keeps all area and all normals when they are gathered by cell', () => {
    const all = listFacing(s.asPattern(bunnyMesh()));
    const gathered = gatherByCell(all);
    const sum = (areas: Float64Array): number => areas.reduce((a, b) => a + b, 0);
    expect(sum(gathered.areas) / sum(all.areas)).toBeCloseTo(1, 12);
    expect(gathered.areas.length).toBeLessThan(all.areas.length);
  });

  it('finds all that is near a circle, without looking at most of what is not', () => {
    const all = listFacing(s.asPattern(bunnyMesh()));
    const random = s.seededRandom(17);
    for (let turn = 0; turn < 60; turn++) {
      const axis = s.randomDirection(random) as [number, number, number];
      const height = 0.3 * (random() - 0.5);
      const band = Math.sin(0.02 + 0.1 * random());
      const stretches = nearCircle(all, axis, height, band);
      const listed = new Uint8Array(all.areas.length);
      for (let k = 0; k < stretches.length; k += 2) listed.fill(1, stretches[k], stretches[k + 1]);
      for (let i = 0; i < listed.length; i++) {
        const normal = Array.from(all.normals.subarray(3 * i, 3 * i + 3)) as unknown as Vec3;
        if (Math.abs(dot(normal, axis) - height) < band) expect(listed[i]).toBe(1);
      }
      // A band of up to 0.12 either side of the circle and a cell beyond it are a quarter of the sphere.
      expect(listed.reduce((a, b) => a + b, 0)).toBeLessThan(0.5 * listed.length);
    }
  });
});
