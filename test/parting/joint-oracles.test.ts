/**
 * The trap cases of the joint: solids made so that a method that looks only at normals, only at planes, only at straight
 * distances or only at one direction gets them wrong. Answers derived by hand; no outside source.
 */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { assessDraw } from '../../packages/parting/src/assess-draw.js';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { classifySurface } from '../../packages/parting/src/classify-surface.js';
import { countFlasks } from '../../packages/parting/src/count-flasks.js';
import { surveyShells } from '../../packages/parting/src/find-voids.js';
import { shapePartingSurface } from '../../packages/parting/src/shape-parting-surface.js';
import { tracePartingLine } from '../../packages/parting/src/trace-parting-line.js';
import {
  asPattern,
  blockyMug,
  box,
  napkinRing,
  pinnedStairs,
  plateWithSquareHole,
  rotate,
  sphere,
  torus,
  twoArms,
  twoPocketCube,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];
const assess = (mesh: Mesh, d: Vec3, columns = 192): ReturnType<typeof assessDraw> =>
  assessDraw(asPattern(mesh), d, { columns });

describe('pinned stairs', () => {
  it('draw along one axis only, and only with a joint that is no plane', () => {
    const mesh = pinnedStairs();
    const up = assess(mesh, UP);
    expect(up.backDraftMm3).toBeLessThan(1e-9);
    expect(Math.abs(up.flat.misfitMm3 - 5)).toBeLessThan(0.15);
    expect(up.flat.low).toBeCloseTo(2, 6);
    expect(up.flat.high).toBeCloseTo(3, 6);
    for (const d of [
      [0, 1, 0],
      [1, 0, 0],
    ] as Vec3[])
      expect(Math.abs(assess(mesh, d).backDraftMm3 - 1)).toBeLessThan(0.1);
    // No level plane lies in the line's corridor, but a tilted one does round the outside: it is the pocket and the
    // blocks' own tops that keep the mould from being parted by it.
    const line = tracePartingLine(asPattern(mesh), up);
    expect(line.flat).toBeNull();
    expect(line.shutOff).toBeNull();
    expect(shapePartingSurface(asPattern(mesh), up).feasible).toBe(true);
  });
});

describe('a mug with a handle', () => {
  it('holds sand along every axis, and its handle shows no hole along the one that frees its cup', () => {
    const mesh = blockyMug();
    const held = (
      [
        [0, 0, 1],
        [1, 0, 0],
        [0, 1, 0],
      ] as Vec3[]
    ).map((d) => assess(mesh, d).backDraftMm3);
    [3, 15, 12].forEach((exact, i) => expect(Math.abs(held[i] - exact)).toBeLessThan(0.02 * exact + 0.1));
    expect(surveyShells(asPattern(mesh)).handles).toBe(1);
    const inner = (d: Vec3): number =>
      tracePartingLine(asPattern(mesh), assess(mesh, d)).loops.filter((loop) => !loop.outer).length;
    expect(inner(UP)).toBe(0);
    expect(inner([0, 1, 0])).toBe(1);
  });
});

describe('holes of the shadow', () => {
  it('are as many as the handles of a solid that draws', () => {
    const cases: [Mesh, Vec3][] = [
      [sphere(5, 3), UP],
      [torus(5, 1), UP],
      [napkinRing(5, 2), UP],
      [plateWithSquareHole(6, 2, 1), UP],
      [twoArms(), UP],
    ];
    for (const [mesh, d] of cases) {
      const assessment = assess(mesh, d);
      expect(assessment.backDraftMm3).toBeLessThan(1e-6);
      const { loops } = tracePartingLine(asPattern(mesh), assessment);
      expect(loops.filter((loop) => !loop.outer)).toHaveLength(surveyShells(asPattern(mesh)).handles!);
    }
    // A ring on edge has a handle and no hole to show: it cannot draw.
    const edge = assess(torus(5, 2), [1, 0, 0]);
    expect(tracePartingLine(asPattern(torus(5, 2)), edge).loops).toHaveLength(1);
    expect(edge.backDraftMm3).toBeGreaterThan(1);
  });
});

describe('a cube with pockets in two faces', () => {
  it('holds least along either pocket, and with shallow pockets the same all the way between', () => {
    const g = (u: number): number => (u <= 0.5 ? 2 * u : 2 - 1 / (2 * u));
    for (const deg of [5, 20, 45, 70]) {
      const t = Math.tan((deg * Math.PI) / 180);
      const d: Vec3 = [0, t, 1];
      expect(Math.abs(assess(twoPocketCube(2), d).backDraftMm3 - (g(t) + g(1 / t)))).toBeLessThan(0.15);
      expect(Math.abs(assess(twoPocketCube(1), d).backDraftMm3 - 1)).toBeLessThan(0.1);
    }
  });
});

describe('two arms on a floor, drawn across', () => {
  it('hold all the sand between them although no face leans the wrong way', () => {
    const pattern = asPattern(twoArms(2));
    expect(Math.abs(assess(twoArms(2), [1, 0, 0]).backDraftMm3 - 4)).toBeLessThan(0.15);
    const { areaMm2 } = classifySurface(pattern, castColumns(pattern, [1, 0, 0], 192));
    expect(Math.abs(areaMm2.held - 8)).toBeLessThan(0.2);
    // The floor between the arms is a wall beside held sand.
    expect(Math.abs(areaMm2.wallHeld - 2)).toBeLessThan(0.15);
  });
});

describe('the smallest stack', () => {
  it('is two for a ball or a cube however they are turned, and one part holds the cube', () => {
    for (const d of [UP, [1, 2, 3], [1, 0, 0]] as Vec3[]) expect(countFlasks(asPattern(sphere(5, 4)), d).count).toBe(2);
    expect(countFlasks(asPattern(rotate(box(), [1, 0, 0], 90)), UP)).toMatchObject({ count: 2, flatBacked: true });
  });
});
