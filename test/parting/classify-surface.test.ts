/** Areas of the classes are derived by hand from the solids' faces. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { classifySurface, type SurfaceClasses } from '../../packages/parting/src/classify-surface.js';
import { findWallSines } from '../../packages/parting/src/find-wall-sines.js';
import { SURFACE_CLASS, SURFACE_CLASS_LABELS, surfaceClassAt } from '../../packages/parting/src/surface-class.js';
import {
  areaOf,
  asPattern,
  box,
  cylinder,
  dovetail,
  frustum,
  pulley,
  rotate,
  shuffleTriangles,
  sphere,
  translate,
  twoArms,
  uNotch,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];

function classes(mesh: Mesh, direction: Vec3, jointHeight?: number, columns = 128): SurfaceClasses {
  const pattern = asPattern(mesh);
  return classifySurface(pattern, castColumns(pattern, direction, columns), { jointHeight });
}

describe('classifySurface', () => {
  it('names every code', () => {
    expect(Object.isFrozen(SURFACE_CLASS)).toBe(true);
    expect(Object.values(SURFACE_CLASS)).toEqual(SURFACE_CLASS_LABELS.map((_, i) => i));
  });

  it('gives a box one face to the cope, one to the drag, and walls the joint may meet anywhere', () => {
    const { areaMm2, shares } = classes(box([0, 0, 0], [3, 2, 1]), UP);
    expect(areaMm2).toMatchObject({ held: 0, wallHeld: 0, wrongSide: 0, wallCope: 0, wallDrag: 0 });
    expect(areaMm2.cope).toBeCloseTo(6, 9);
    expect(areaMm2.drag).toBeCloseTo(6, 9);
    expect(areaMm2.wallFree).toBeCloseTo(10, 9);
    expect(shares.cope).toBeCloseTo(6 / 22, 9);
  });

  it('puts a face on the wrong side of a flat joint that lies above or below it', () => {
    const above = classes(box(), UP, 2);
    expect(above.areaMm2.wrongSide).toBeCloseTo(1, 9);
    expect(above.areaMm2.cope).toBe(0);
    const below = classes(box(), UP, -1);
    expect(below.areaMm2.drag).toBe(0);
    expect(classes(box(), UP, 1).areaMm2.wrongSide).toBe(0);
  });

  it('counts the joint from the origin of the file', () => {
    const up = classes(translate(box(), [0, 0, 100]), UP, 100.5);
    expect(up.areaMm2.wrongSide).toBe(0);
    expect(classes(translate(box(), [0, 0, 100]), UP, 0.5).areaMm2.wrongSide).toBeCloseTo(1, 9);
  });

  it('finds the four states of a wall: pocket walls are the cope’s, a notch’s back wall is held', () => {
    const arms = classes(twoArms(4), UP, undefined, 256);
    // Inner walls of both arms: 2 × 4 × 2 high; the sand between can only go up.
    expect(arms.areaMm2.wallCope).toBeCloseTo(16, 6);
    expect(arms.areaMm2.held + arms.areaMm2.wallHeld).toBe(0);
    const down = classes(twoArms(4), [0, 0, -1], undefined, 256);
    expect(down.areaMm2.wallDrag).toBeCloseTo(16, 6);
    const notch = classes(uNotch(4), UP, undefined, 256);
    // Floor and roof of the notch, 1 × 4 each, and its back, 1 × 4.
    expect(Math.abs(notch.areaMm2.held - 8)).toBeLessThan(0.15);
    expect(Math.abs(notch.areaMm2.wallHeld - 4)).toBeLessThan(0.15);
  });

  it('holds nothing of two arms drawn along their length and both inner walls drawn across them', () => {
    // Every reflex edge passes a test of its two normals here; only looking past the edge shows what is held.
    const across = classes(twoArms(4), [1, 0, 0], undefined, 256);
    expect(Math.abs(across.areaMm2.held - 16)).toBeLessThan(0.2);
    expect(classes(twoArms(4), [0, 1, 0], undefined, 256).areaMm2.held).toBe(0);
  });

  it('holds the flanges of a pulley on its axis, and nothing of it across', () => {
    const mesh = pulley(3, 1.5, 2, 1, 64);
    const along = classes(mesh, UP, undefined, 256);
    const ring = (64 / 2) * Math.sin((2 * Math.PI) / 64) * (9 - 2.25);
    expect(Math.abs(along.areaMm2.held / (2 * ring) - 1)).toBeLessThan(0.01);
    const across = classes(mesh, [1, 0, 0], undefined, 256);
    expect(across.areaMm2.held + across.areaMm2.wallHeld).toBe(0);
  });

  it('holds the slanted sides of a dovetail across its face', () => {
    // Each side leans out by 0.5 over a depth of 1; below it lies as much floor. Four borders of length 6.
    for (const columns of [128, 256, 512]) {
      const { areaMm2 } = classes(dovetail(1, 2, 1, 6), UP, undefined, columns);
      expect(Math.abs(areaMm2.held - (2 * Math.hypot(0.5, 1) * 6 + 6))).toBeLessThan((0.4 * 4 * 6 * 8.5) / columns);
    }
  });

  it('takes the steps of a tessellation for walls, and leaves a coarse taper its taper', () => {
    // A lying cylinder of 24 sides: a facet centred on the upright is a wall, the others are not.
    const lying = rotate(rotate(cylinder(5, 20, 24), UP, 7.5), [1, 0, 0], 90);
    const facet = 2 * 5 * Math.sin(Math.PI / 24) * 20;
    const ends = 2 * 12 * 25 * Math.sin((2 * Math.PI) / 24);
    const found = classes(lying, UP);
    expect(found.areaMm2.wallFree).toBeCloseTo(2 * facet + ends, 4);
    const taper = classes(frustum(5, 4.9, 3, 12), UP);
    expect(taper.areaMm2.wallFree).toBe(0);
    expect(taper.areaMm2.cope).toBeGreaterThan(areaOf(frustum(5, 4.9, 3, 12)) / 2);
  });

  it('does not depend on the order of the triangles, the turn or the place', () => {
    const mesh = pulley(3, 1.5, 2, 1, 48);
    const moved = translate(rotate(shuffleTriangles(mesh, 5), [1, 2, 3], 40), [70, -30, 500]);
    const axis = rotate(
      { positions: Float64Array.of(0, 0, 1), triangles: new Uint32Array(0) },
      [1, 2, 3],
      40,
    ).positions;
    const a = classes(mesh, UP).shares;
    const b = classes(moved, [axis[0], axis[1], axis[2]]).shares;
    for (const name of Object.keys(a) as (keyof typeof a)[]) expect(Math.abs(a[name] - b[name])).toBeLessThan(0.01);
  });

  it('says unknown inside an open surface, not free', () => {
    const mesh = uNotch(4);
    // Leave out the triangles of the top.
    const kept = mesh.triangles.filter((_, i) => {
      const t = i - (i % 3);
      return ![0, 1, 2].every((k) => mesh.positions[3 * mesh.triangles[t + k] + 2] === 3);
    });
    const found = classes({ positions: mesh.positions, triangles: kept }, UP);
    expect(found.areaMm2.unknown).toBeGreaterThan(0);
  });

  it('refuses nonsense', () => {
    const pattern = asPattern(box());
    const field = castColumns(pattern, UP, 16);
    expect(() => classifySurface(pattern, field, { jointHeight: NaN })).toThrow(/jointHeight/);
    expect(() => classifySurface(pattern, field, { pointsPerColumn: 0 })).toThrow(/pointsPerColumn/);
    expect(() => classifySurface(pattern, field, { joint: 1 } as object)).toThrow(/jointHeight/);
  });
});

describe('surfaceClassAt', () => {
  it('agrees with the areas point by point on a sphere', () => {
    const pattern = asPattern(sphere(10, 4));
    const field = castColumns(pattern, UP, 128);
    expect(surfaceClassAt(field, 0, 0, 10, 0, 0, 1)).toBe(SURFACE_CLASS.cope);
    expect(surfaceClassAt(field, 0, 0, -10, 0, 0, -1)).toBe(SURFACE_CLASS.drag);
    expect(surfaceClassAt(field, 0, 0, 10, 0, 0, 1, 11)).toBe(SURFACE_CLASS.wrongSide);
    expect(surfaceClassAt(field, 10, 0, 0, 1, 0, 0, undefined, 1e-9)).toBe(SURFACE_CLASS.wallFree);
  });
});

describe('findWallSines', () => {
  it('is half the step between facets along the draw', () => {
    const pattern = asPattern(rotate(cylinder(5, 20, 24), [1, 0, 0], 90));
    const { wallSines, sines } = findWallSines(pattern, UP);
    const steepest = wallSines.filter((_, t) => Math.abs(sines[t]) < 0.2);
    expect(Math.max(...steepest)).toBeCloseTo(Math.sin(Math.PI / 24), 2);
  });
});
