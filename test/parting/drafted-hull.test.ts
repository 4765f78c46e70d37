import { describe, expect, it } from 'vitest';
import { addCone, assessDraw, draftedHull, spreadCones, startCones } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { tan, tilted } from './cast-oracle.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];
const PI = Math.PI;

describe('spreadCones', () => {
  it('agrees with every cone tried over every column, and never stands above it', () => {
    const random = s.seededRandom(12);
    for (const fall of [0.3, 1, 5]) {
      const field = startCones(48, 40, fall);
      const tips = Array.from(
        { length: 300 },
        () => [random() * 46 + 0.5, random() * 38 + 0.5, 20 * random()] as const,
      );
      for (const [x, y, z] of tips) addCone(field, x, y, z);
      spreadCones(field);
      let short = 0;
      for (let i = 0; i < field.over.length; i++) {
        const [x, y] = [i % 48, Math.floor(i / 48)];
        const best = Math.max(...tips.map(([a, b, z]) => z - fall * Math.hypot(a - x, b - y)));
        expect(field.over[i]).toBeLessThanOrEqual(best + 1e-9);
        short = Math.max(short, best - field.over[i]);
      }
      // A cone that loses the column of its own tip can be lost to the next one too: less than a column's fall.
      expect(short).toBeLessThan(0.5 * fall);
    }
  });
});

describe('draftedHull', () => {
  it.each([1, 2, 5, 10])('O1 a cube needs tan + (π/12) tan² for %i°, flat joint or not', (deg) => {
    const found = draftedHull(s.asPattern(s.box()), Z, { draftDeg: deg });
    const exact = tan(deg) + (PI / 12) * tan(deg) ** 2;
    expect(Math.abs(found.addMm3 - exact)).toBeLessThan(found.addErrorMm3 + 0.005 * exact);
    expect(Math.abs(found.addMm3 / exact - 1)).toBeLessThan(0.03);
    expect(found.flat.height).toBeCloseTo(0.5, 1);
    expect(found.flat.addMm3 / exact).toBeCloseTo(1, 1);
    expect(found.reliable).toBe(true);
  });

  it.each([5, 10, 20])('O3 a ball of radius r needs (2π/3) r³ sin θ tan² θ for %i°', (deg) => {
    const found = draftedHull(s.asPattern(s.sphere(2, 5)), Z, { draftDeg: deg, columns: 384 });
    const exact = ((2 * PI) / 3) * 8 * Math.sin((deg * PI) / 180) * tan(deg) ** 2;
    expect(Math.abs(found.addMm3 - exact)).toBeLessThan(found.addErrorMm3 + 0.03 * exact + 2e-4);
  });

  it('O13 a frustum with more draft than asked needs nothing; with less, the difference of two frusta', () => {
    const mesh = s.asPattern(s.frustum(2, 1.4, 3, 96));
    expect(draftedHull(mesh, Z, { draftDeg: 11 }).addMm3).toBeLessThan(2e-3 * s.volumeOf(mesh));
    // Drafted 15° from its top down to a joint at its foot: π/3 of the cone pieces, less the frustum's own.
    const found = draftedHull(s.asPattern(s.frustum(2, 1.9, 3, 256)), Z, { draftDeg: 15 });
    expect(found.addMm3).toBeGreaterThan(1);
    expect(found.flat.addMm3).toBeGreaterThanOrEqual(found.addMm3 - 1e-9);
  });

  it('with no draft asked it is the back draft, and the misfit of the best flat joint on top', () => {
    for (const mesh of [s.blockyMug(), s.pinnedStairs()]) {
      const drawn = assessDraw(s.asPattern(mesh), [1, 2, 4]);
      const found = draftedHull(s.asPattern(mesh), [1, 2, 4], { draftDeg: 0 });
      expect(found.addMm3).toBeCloseTo(drawn.backDraftMm3, 9);
      expect(found.flat.addMm3).toBeCloseTo(drawn.backDraftMm3 + drawn.flat.misfitMm3, 9);
      expect(found.flat.low).toBeCloseTo(drawn.flat.low, 9);
      expect(found.flat.high).toBeCloseTo(drawn.flat.high, 9);
    }
  });

  it('grows with the draft, and is never less than the back draft', () => {
    for (const mesh of [bunnyMesh(), s.blockyMug(), s.torus(1, 0.4)]) {
      const pattern = s.asPattern(mesh);
      let before = assessDraw(pattern, [1, 2, 3], { columns: 128 }).backDraftMm3 - 1e-9;
      for (const draftDeg of [0, 0.5, 1, 2, 3, 5, 8, 12, 20]) {
        const { addMm3 } = draftedHull(pattern, [1, 2, 3], { draftDeg, columns: 128 });
        expect(addMm3).toBeGreaterThanOrEqual(before);
        before = addMm3;
      }
    }
  });

  it('bounds the back draft along every draw within the draft', () => {
    const random = s.seededRandom(6);
    for (const mesh of [s.blockWithSquarePocket(6, 3, 1, 1.5, 2), s.plateWithRoundHole(8, 2, 1), s.torus(1, 0.4)]) {
      for (const draftDeg of [3, 10]) {
        const bound = draftedHull(s.asPattern(mesh), Z, { draftDeg });
        for (let i = 0; i < 8; i++) {
          const near = assessDraw(s.asPattern(mesh), tilted(draftDeg * Math.sqrt(random()), 360 * random()));
          expect(near.backDraftMm3).toBeLessThanOrEqual(bound.addMm3 + bound.addErrorMm3 + near.backDraftErrorMm3);
        }
      }
    }
  });

  it('a needle does not fill the memory: fewer columns are used, and the width says so', () => {
    const found = draftedHull(s.asPattern(s.box([0, 0, 0], [1, 1, 200])), Z, { draftDeg: 20 });
    expect(found.column).toBeGreaterThan(0.05);
    expect(found.addMm3).toBeGreaterThan(0);
  });

  it('an open pattern is unreliable; bad options are refused', () => {
    const lid = s.keepTriangles(s.box(), (t) => t !== 2);
    expect(draftedHull(s.asPattern(lid), Z).reliable).toBe(false);
    const box = s.asPattern(s.box());
    for (const options of [{ draftDeg: -1 }, { draftDeg: 21 }, { columns: 1 }, { draft: 2 }, { draftDeg: NaN }]) {
      expect(() => draftedHull(box, Z, options as object)).toThrow(/must be|knows no option/);
    }
    expect(() => draftedHull(box, [0, 0, 0])).toThrow(/not all zero/);
  });

  it('states an error that covers the taper of a plate, however few columns show it', () => {
    const [length, width, thick] = [100, 60, 5];
    const plate = s.asPattern(s.rotate(s.box([0, 0, 0], [length, width, thick]), [0, 0, 1], 17));
    const tangent = Math.tan((2 * Math.PI) / 180);
    const half = thick / 2;
    // Wedges along the sides and cones round the corners, both ways from half way up.
    const exact = 2 * ((length + width) * tangent * half ** 2 + (Math.PI * tangent ** 2 * half ** 3) / 3);
    for (const columns of [24, 48, 96, 192, 384, 768]) {
      const { addMm3, addErrorMm3, findings } = draftedHull(plate, [0, 0, 1], { columns });
      expect(Math.abs(addMm3 - exact)).toBeLessThanOrEqual(addErrorMm3);
      expect(addErrorMm3).toBeLessThan(2 * exact);
      expect(findings.some(({ code }) => code === 'narrow-taper')).toBe(columns < 400);
    }
  });
});
