import { describe, expect, it } from 'vitest';
import { backDraftPerRadian, castColumns } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { assess, tilted } from './cast-oracle.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];
const perRadian = (mesh: s.Mesh, draw: Vec3, columns = 384): number =>
  backDraftPerRadian(castColumns(s.asPattern(mesh), draw, columns));

describe('backDraftPerRadian', () => {
  it('O10 a square pocket s × w of depth l changes by (w cos + s sin) l²/2: its worst turn is along its diagonal', () => {
    const exact = (Math.hypot(1, 1.5) * 4) / 2;
    const found = perRadian(s.blockWithSquarePocket(6, 3, 1, 1.5, 2), Z);
    // An edge is summed along rows and along columns apart, which bounds its length from above by up to √2.
    expect(found).toBeGreaterThan(0.97 * exact);
    expect(found).toBeLessThan(1.45 * exact);
  });

  it('O30 a slot open to the side changes by half its gap squared a millimetre of rim', () => {
    const found = perRadian(s.uNotch(2), Z);
    expect(found).toBeGreaterThan(0.97 * 2 * 0.5);
    // The arms' ends at the slot's two closed sides count too, though nothing there can move.
    expect(found).toBeLessThan(5 * 2 * 0.5);
  });

  it('walls at the rim of the shadow cost nothing, and slopes next to nothing, however steep', () => {
    expect(perRadian(s.box(), Z)).toBe(0);
    // Two columns alone on a row at the rim look like a step; that dies out as the columns get narrower.
    for (const mesh of [s.frustum(2, 1.9, 5, 96), s.sphere(2, 5)]) {
      expect(perRadian(mesh, Z)).toBeLessThan(0.01 * s.volumeOf(mesh));
      expect(perRadian(mesh, Z, 768)).toBeLessThan(0.7 * perRadian(mesh, Z, 192));
    }
  });

  it('steps that hang over when turned the same way add up; those that do so turned opposite ways do not', () => {
    // Top and bottom both rise by 1 over an edge 1 long: turned that way, each holds 1²/2 more for every radian.
    const sheared = s.boxesUnion([s.span([0, 1], [0, 1], [0, 2]), s.span([1, 2], [0, 1], [1, 3])]);
    expect(perRadian(sheared, Z)).toBeCloseTo(1, 1);
    const widened = s.boxesUnion([s.span([0, 1], [0, 1], [0, 2]), s.span([1, 2], [0, 1], [-1, 3])]);
    expect(perRadian(widened, Z)).toBeCloseTo(0.5, 1);
    for (const mesh of [sheared, widened]) {
      const worst = Math.max(...[0, 90, 180, 270].map((turn) => assess(mesh, tilted(1, turn), 384).backDraftMm3));
      expect(worst / assess(mesh, Z, 384).backDraftPerDegreeMm3).toBeCloseTo(1, 1);
    }
  });

  it('bounds the change found by turning half a degree, for the hare and solids of all kinds', () => {
    const random = s.seededRandom(14);
    const deg = 0.5;
    for (const mesh of [bunnyMesh(), s.blockyMug(), s.lippedChannel(2), s.torus(1, 0.4), s.pinnedStairs()]) {
      for (let i = 0; i < 6; i++) {
        const { axis, deg: turn } = s.randomRotation(40 + i);
        const turned = s.rotate(mesh, axis, turn);
        const here = assess(turned, Z, 384);
        const there = assess(turned, tilted(deg, 360 * random()), 384);
        const change = Math.abs(there.backDraftMm3 - here.backDraftMm3);
        const noise = here.backDraftErrorMm3 + there.backDraftErrorMm3;
        // To first order only: what the bound itself changes over half a degree is allowed for by a tenth.
        const bound = 1.1 * deg * Math.max(here.backDraftPerDegreeMm3, there.backDraftPerDegreeMm3);
        expect(change).toBeLessThanOrEqual(bound + noise);
      }
    }
  });

  it('is not idle: for pockets seen straight it is the change of one degree', () => {
    const mesh = s.blockWithSquarePocket(6, 3, 1, 1, 2);
    const found = assess(mesh, Z, 384);
    const there = assess(mesh, tilted(1, 45), 384);
    expect(there.backDraftMm3 / found.backDraftPerDegreeMm3).toBeGreaterThan(0.65);
    expect(there.backDraftMm3 / found.backDraftPerDegreeMm3).toBeLessThan(1.05);
  });

  it('the range of an open scan holds what the closed one holds', () => {
    const mesh = s.uNotch(2);
    const open = assess(
      s.keepTriangles(mesh, (t) => t % 9 !== 4),
      Z,
    );
    expect(open.backDraftRangeMm3.low).toBeLessThanOrEqual(2);
    expect(open.backDraftRangeMm3.high).toBeGreaterThanOrEqual(2);
    expect(open.backDraftRangeMm3.value).toBe(open.backDraftMm3);
    const whole = assess(mesh, Z).backDraftRangeMm3;
    expect(whole.high - whole.low).toBeLessThan(open.backDraftRangeMm3.high - open.backDraftRangeMm3.low);
  });
});
