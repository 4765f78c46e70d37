import { describe, expect, it } from 'vitest';
import { castColumns, makeScratch } from '@oddside/parting';
import { findRimPoints } from '../../packages/parting/src/gather-rim-spans.js';
import { indexRim } from '../../packages/parting/src/index-rim.js';
import { pickNearRim } from '../../packages/parting/src/pick-near-rim.js';
import { placeCorners } from '../../packages/parting/src/place-corners.js';
import { castLike } from '../../packages/parting/src/trace-shadow-boundary.js';
import { bunnyMesh, snowdenMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('pickNearRim', () => {
  it('gives the same rim to the last bit as all triangles do, from far fewer', () => {
    const random = s.seededRandom(31);
    for (const mesh of [bunnyMesh(), snowdenMesh('lo'), s.torus(3, 1, 200, 100), s.plateWithRoundHole(5, 1, 1)]) {
      for (let i = 0; i < 3; i++) {
        const pattern = s.asPattern(mesh);
        const field = castColumns(pattern, s.randomDirection(random) as [number, number, number], 96);
        const rim = indexRim(field);
        const placed = placeCorners(pattern.positions, field);
        const picked = pickNearRim(pattern, field, rim);
        const corners = Array.from(pattern.triangles, (corner) => placed.subarray(3 * corner, 3 * corner + 3));
        const all = findRimPoints(Float64Array.from(corners.flatMap((corner) => Array.from(corner))), field, rim);
        const few = findRimPoints(picked, field, rim);
        for (const name of ['u', 'v', 'low', 'high', 'metAlongU'] as const) expect(few[name]).toEqual(all[name]);
        for (let k = 0; k < rim.count; k++) expect(few.widen(k, 0.4)).toEqual(all.widen(k, 0.4));
        if (mesh.triangles.length > 60_000) expect(picked.length / 9).toBeLessThan(40 * rim.count);
      }
    }
  });
});

describe('pickNearRim with the engine that cast', () => {
  it('picks what gives the same rim to the last bit, and knows when the engine has gone on to another field', () => {
    const random = s.seededRandom(32);
    for (const mesh of [bunnyMesh(), snowdenMesh('lo'), s.torus(3, 1, 200, 100), s.plateWithRoundHole(5, 1, 1)]) {
      const pattern = s.asPattern(mesh);
      const scratch = makeScratch(pattern);
      for (let i = 0; i < 3; i++) {
        const draw = s.randomDirection(random) as [number, number, number];
        // On few columns there is room for so few triangles that they are picked in several goes.
        const field = castColumns(pattern, draw, [96, 20, 40][i], scratch);
        const rim = indexRim(field);
        const quickly = pickNearRim(pattern, field, rim, scratch.engine);
        const plainly = pickNearRim(pattern, field, rim);
        // Rounding may put a corner into the next cell, so what is picked may differ by a few, but not what comes of it.
        expect(Math.abs(quickly.length - plainly.length)).toBeLessThanOrEqual(9 + 0.02 * plainly.length);
        const [one, other] = [findRimPoints(quickly, field, rim), findRimPoints(plainly, field, rim)];
        for (const name of ['u', 'v', 'low', 'high', 'metAlongU'] as const) expect(one[name]).toEqual(other[name]);
        const kept = { ...field, cells: field.cells.slice() };
        const later = indexRim(kept);
        castColumns(pattern, [0, 0, 1], 32, scratch);
        expect(pickNearRim(pattern, kept, later, scratch.engine)).toEqual(plainly);
      }
    }
  });
});

describe('castLike', () => {
  it('lays the same columns again', () => {
    for (const mesh of [bunnyMesh(), s.box([100, 100, 100], [101, 102, 103])]) {
      const pattern = s.asPattern(mesh);
      const field = castColumns(pattern, [0.1, 0.7, 0.2], 77);
      expect(castLike(pattern, [0.1, 0.7, 0.2], field.column)).toEqual(field);
    }
  });
});
