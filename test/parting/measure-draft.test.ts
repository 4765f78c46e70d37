import { describe, expect, it } from 'vitest';
import { measureDraft } from '@oddside/parting';
import * as s from '../helpers/shapes.js';

const sum = (list: readonly number[]): number => list.reduce((total, value) => total + value, 0);

describe('measureDraft', () => {
  it('a box has walls without draft and two flats square to the draw', () => {
    const found = measureDraft(s.asPattern(s.box([0, 0, 0], [4, 3, 2])), [0, 0, 1], 2);
    expect(found.shallowAreaMm2).toBeCloseTo(28, 9);
    expect(found.shallowShare).toBeCloseTo(28 / 52, 12);
    expect(found.areaByDegreeMm2[0]).toBeCloseTo(28, 9);
    expect(found.areaByDegreeMm2[89]).toBeCloseTo(24, 9);
    expect(found.tenthDeg).toBe(0);
  });

  it('O13 the wall of a frustum has draft atan m, to the side of the limit it belongs to', () => {
    const mesh = s.asPattern(s.frustum(2, 1.5, 5, 256));
    const wall = (Math.atan(0.1) * 180) / Math.PI;
    expect(measureDraft(mesh, [0, 0, 1], wall + 0.05).shallowShare).toBeGreaterThan(0.5);
    expect(measureDraft(mesh, [0, 0, 1], wall - 0.05).shallowAreaMm2).toBe(0);
    expect(measureDraft(mesh, [0, 0, 1], 2).areaByDegreeMm2[Math.floor(wall)]).toBeCloseTo(
      Math.PI * 3.5 * Math.hypot(5, 0.5),
      1,
    );
  });

  it('of a ball the share short of θ is sin θ (its zone), and every area is counted once', () => {
    const mesh = s.sphere(1, 5);
    for (const deg of [2, 10, 30]) {
      const found = measureDraft(s.asPattern(mesh), [0.36, 0.48, 0.8], deg);
      expect(found.shallowShare).toBeCloseTo(Math.sin((deg * Math.PI) / 180), 2);
      expect(sum(found.areaByDegreeMm2)).toBeCloseTo(s.areaOf(mesh), 9);
      expect(found.areaByDegreeMm2).toHaveLength(90);
    }
    // A tenth of a ball lies within asin 0.1 = 5.74° of its equator.
    expect(measureDraft(s.asPattern(mesh), [0, 0, 1], 2).tenthDeg).toBe(5);
  });

  it('degenerate triangles have no area and no draft', () => {
    const mesh = { positions: s.box().positions, triangles: Uint32Array.of(0, 0, 1, 0, 1, 3) };
    expect(sum(measureDraft(s.asPattern(mesh), [0, 0, 1], 2).areaByDegreeMm2)).toBeCloseTo(0.5, 12);
  });
});
