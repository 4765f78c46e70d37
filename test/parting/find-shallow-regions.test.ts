import { describe, expect, it } from 'vitest';
import { assessDraw, findShallowRegions, type ShallowRegions } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { tan } from './cast-oracle.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];
const shallow = (mesh: s.Mesh, options?: object, draw: Vec3 = Z): ShallowRegions =>
  findShallowRegions(s.asPattern(mesh), assessDraw(s.asPattern(mesh), draw), options);

describe('findShallowRegions', () => {
  it('a box has four walls, each short by its height times tan 2°', () => {
    const found = shallow(s.box([0, 0, 0], [60, 40, 30]));
    expect(found.regions).toHaveLength(4);
    expect(found.areaMm2).toBeCloseTo(2 * 100 * 30, 6);
    for (const region of found.regions) {
      expect(region).toMatchObject({ inside: false, requiredDeg: 2 });
      expect(region.height).toBeCloseTo(30, 9);
      expect(region.draftDeg).toBeCloseTo(0, 6);
      expect(region.add).toBeCloseTo(30 * tan(2), 9);
      expect(region.place[2]).toBeCloseTo(15, 9);
    }
    expect(found.regions[0].areaMm2).toBeCloseTo(1800, 9);
  });

  it('the walls of a pocket are inside and need 3°, those round it outside and need 2°', () => {
    const found = shallow(s.scale(s.blockWithSquarePocket(6, 3, 2, 2, 2), 10));
    const inside = found.regions.filter((region) => region.inside);
    expect(inside).toHaveLength(4);
    for (const region of inside) {
      expect(region.requiredDeg).toBe(3);
      expect(region.height).toBeCloseTo(20, 9);
      expect(region.areaMm2).toBeCloseTo(400, 6);
      expect(region.add).toBeCloseTo(20 * tan(3), 6);
    }
    expect(found.regions.filter((region) => !region.inside)).toHaveLength(4);
  });

  it('a round hole is one region, the walls of the plate four', () => {
    const found = shallow(s.plateWithRoundHole(80, 20, 10, 64));
    expect(found.regions.filter((region) => region.inside)).toHaveLength(1);
    expect(found.regions.find((region) => region.inside)?.areaMm2).toBeCloseTo(
      2 * 64 * 10 * Math.sin(Math.PI / 64) * 20,
      6,
    );
    expect(found.regions.filter((region) => !region.inside)).toHaveLength(4);
  });

  it('O13 a frustum with draft enough has none; with less, what is missing', () => {
    const drafted = s.frustum(50, 50 - 60 * tan(2.5), 60, 96);
    expect(shallow(drafted).regions).toEqual([]);
    const [region] = shallow(s.frustum(50, 50 - 60 * tan(1), 60, 96)).regions;
    expect(region.draftDeg).toBeCloseTo(1, 2);
    expect(region.add).toBeCloseTo(60 * (tan(2) - tan(1)), 2);
    expect(region.height).toBeCloseTo(60, 6);
  });

  it('height is counted from the joint on its deeper side', () => {
    // Parted through its axis, a lying cylinder's flat ends are half as high as they are wide.
    const found = shallow(s.rotate(s.cylinder(30, 80, 128), [0, 1, 0], 90));
    const ends = found.regions.filter((region) => Math.abs(region.areaMm2 / (Math.PI * 900) - 1) < 0.01);
    expect(ends).toHaveLength(2);
    for (const end of ends) expect(end.height).toBeCloseTo(30, 0);
  });

  it('a wall that does not reach the joint is as high as it is itself, not as far as the joint', () => {
    // A boss of 20 mm under a slab of 10 mm: all of it lies in the drag, the joint at the slab's top.
    const found = shallow(s.boxesUnion([s.span([0, 60], [0, 60], [0, 10]), s.span([15, 45], [15, 45], [-20, 0])]));
    expect(found.regions).toHaveLength(8);
    expect([...new Set(found.regions.map((region) => Math.round(region.height)))].sort()).toEqual([10, 20]);
  });

  it('practice changes what is asked; what sanding takes off is passed over and counted', () => {
    const box = s.box([0, 0, 0], [60, 40, 120]);
    expect(shallow(box, { practice: 'wood-pattern' }).regions[0].requiredDeg).toBe(0.75);
    const low = shallow(s.box([0, 0, 0], [60, 40, 3]));
    expect(low.regions).toEqual([]);
    expect(low.passedOver).toMatchObject({ regions: 4, areaMm2: expect.closeTo(600, 6) });
  });

  it('turns with the pattern', () => {
    const mesh = s.scale(s.blockWithSquarePocket(6, 3, 2, 2, 2), 10);
    const { axis, deg } = s.randomRotation(3);
    const turned = shallow(s.rotate(mesh, axis, deg), {}, s.turnPoint([0, 0, 1], axis, deg) as Vec3);
    expect(turned.regions.map((r) => [r.inside, r.height.toFixed(6), r.add.toFixed(6)]).sort()).toEqual(
      shallow(mesh)
        .regions.map((r) => [r.inside, r.height.toFixed(6), r.add.toFixed(6)])
        .sort(),
    );
  });

  it('the hare: regions lie within its box, no area is counted twice', () => {
    const mesh = s.scale(bunnyMesh(), 15);
    const found = shallow(mesh, { leastAdd: 0 }, [0, 1, 0]);
    const { min, max } = s.boundsOf(mesh);
    for (const { place } of found.regions) {
      place.forEach((c, i) => expect(c).toBeGreaterThan(min[i]));
      place.forEach((c, i) => expect(c).toBeLessThan(max[i]));
    }
    expect(found.areaMm2).toBeGreaterThan(0);
    expect(found.areaMm2).toBeLessThan(0.2 * s.areaOf(mesh));
  });

  it('refuses bad options', () => {
    expect(() => shallow(s.box(), { leastAdd: -1 })).toThrow(/leastAdd/);
    expect(() => shallow(s.box(), { sharpEdgeDeg: 0 })).toThrow(/sharpEdgeDeg/);
    expect(() => shallow(s.box(), { practice: 'whatever' })).toThrow(/no draft table/);
    expect(() => shallow(s.box(), { least: 1 })).toThrow(/knows no option/);
  });
});
