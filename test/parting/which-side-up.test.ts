/** Fine detail, heavy sections and which side is up, in closed form; derived by hand, no outside source. */
import { describe, expect, it } from 'vitest';
import { advisePartings, candidateAlong, surveySurface, type PartingCandidate } from '@oddside/parting';
import { angleBetweenDeg, length, type Vec3 } from '@oddside/core';
import { findFineDetail } from '../../packages/parting/src/find-fine-detail.js';
import { findHeavySection } from '../../packages/parting/src/find-heavy-section.js';
import { sideShares, type SideFigures } from '../../packages/parting/src/which-side-up.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const few = { samples: 80, searchColumns: 24, columns: 64, candidates: 2 } as const;

/** A name plate 100 × 60 × 10 with rows of small square pits in its top, as lettering is. */
const namePlate = (): s.Mesh => {
  const pits = [30, 42, 54, 66].flatMap((x) => [22, 34].map((y) => s.span([x, x + 4], [y, y + 4], [8, 10])));
  return s.boxesUnion([s.span([0, 100], [0, 60], [0, 10])], pits);
};
const detailOf = (mesh: s.Mesh): Pick<SideFigures, 'detail' | 'detailShare'> => {
  const pattern = s.asPattern(mesh);
  return findFineDetail(pattern, surveySurface(pattern));
};
const criterion = (candidate: PartingCandidate, id: string): PartingCandidate['criteria'][number] => {
  const found = candidate.criteria.find((each) => each.id === id);
  if (!found) throw new Error(`no criterion ${id}`);
  return found;
};

describe('fine detail', () => {
  it.each([
    ['a cube', s.box()],
    ['a ball', s.sphere(10, 3)],
    ['a cone', s.frustum(30, 0.1, 60)],
    ['a ring', s.torus(1, 0.4)],
    ['a bracket', s.lBracket()],
  ])('%s has none: its bends lie far apart', (_name, mesh) => {
    expect(detailOf(mesh)).toEqual({ detailShare: 0, detail: [0, 0, 0] });
  });

  it('the pits of a name plate are detail that looks up, wherever it stands and however it is turned', () => {
    const here = detailOf(namePlate());
    expect(here.detailShare).toBeGreaterThan(0.15);
    expect(here.detailShare).toBeLessThan(0.8);
    expect(angleBetweenDeg(here.detail, [0, 0, 1])).toBeLessThan(2);
    expect(length(here.detail) / here.detailShare).toBeGreaterThan(0.5);
    const { axis, deg } = s.randomRotation(4);
    const there = detailOf(s.translate(s.rotate(s.scale(namePlate(), 3), axis, deg), [1e4, -50, 3]));
    expect(Math.abs(there.detailShare - here.detailShare)).toBeLessThan(0.12);
    expect(angleBetweenDeg(there.detail, s.turnPoint([0, 0, 1], axis, deg) as Vec3)).toBeLessThan(3);
  });

  it('on a scan it looks every way alike', () => {
    const { detail, detailShare } = detailOf(bunnyMesh());
    expect(length(detail)).toBeLessThan(0.2 * detailShare);
  });
});

describe('heavy sections', () => {
  it.each([
    ['a cube', s.box(), [0.5, 0.5, 0.5], 1],
    ['a ball', s.sphere(10, 4), [0, 0, 0], 20],
    ['a ring', s.torus(10, 4), [0, 0, 0], 8],
  ] as const)('%s: in its middle, as thick as it is', (_name, mesh, middle, thick) => {
    const { heavy, thickest } = findHeavySection(s.asPattern(mesh));
    middle.forEach((c, k) => expect(heavy![k]).toBeCloseTo(c, 3));
    expect(Math.abs(thickest / thick - 1)).toBeLessThan(0.13);
  });

  it('of two cubes of 4 and 2 the larger counts for 2⁵ = 32 times the smaller', () => {
    // ∫ (distance to the nearest face)² over a cube of side a is a⁵ / 40.
    const mesh = s.merge(s.box([0, 0, 0], [4, 4, 4]), s.box([7, 1, 1], [9, 3, 3]));
    const { heavy } = findHeavySection(s.asPattern(mesh));
    const x = (32 * 2 + 8) / 33;
    expect(heavy![0]).toBeGreaterThan(2 + 0.7 * (x - 2));
    expect(heavy![0]).toBeLessThan(2 + 1.3 * (x - 2));
    expect(heavy![1]).toBeCloseTo(2, 1);
    expect(heavy![2]).toBeCloseTo(2, 1);
  });

  it('says nothing where there is no metal', () => {
    const flat = { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) };
    expect(findHeavySection(s.asPattern(flat))).toEqual({ heavy: null, thickest: 0 });
  });
});

describe('which side is up', () => {
  const sides: SideFigures = {
    detailShare: 0.4,
    detail: [0, 0, 0.4],
    machined: [0, 0, 1],
    heavy: [0, 0, 3],
    thickest: 1,
  };
  it('shares are linear in the draw and add up with those turned over', () => {
    expect(sideShares(sides, [0, 0, 1], 0, 4)).toEqual({ fineDetail: 0.4, machined: 1, heavySection: 0.25 });
    expect(sideShares(sides, [0, 0, -1], -4, 0)).toEqual({ fineDetail: 0, machined: 0, heavySection: 0.75 });
    expect(sideShares(sides, [1, 0, 0], -1, 1)).toEqual({ fineDetail: 0.2, machined: 0.5, heavySection: 0.5 });
  });

  it('lays the lettering of a name plate down, for that alone, and says so', async () => {
    const weights = { copeDepth: 0, dragDepth: 0, heavySection: 0 };
    const [best] = (await advisePartings(s.asPattern(namePlate()), { ...few, weights })).candidates;
    expect(best.direction[2]).toBeCloseTo(-1, 6);
    expect(criterion(best, 'fineDetail').sentence).toMatch(/^1?\d(\.\d)? % of the fine detail faces up/);
    expect(best.otherWayUp.sentence).toMatch(/points worse, mostly for: fine detail that faces up\.$/);
    expect(best.otherWayUp.points).toBeGreaterThan(best.points);
    // Without that weight either side will do.
    const [free] = (await advisePartings(s.asPattern(namePlate()), { ...few, weights: { ...weights, fineDetail: 0 } }))
      .candidates;
    expect(free.otherWayUp.sentence).toMatch(/Either will do\.$/);
  });

  it('turns the heavy end of a cone up, for that alone', async () => {
    const weights = { copeDepth: 0, dragDepth: 0, projectedArea: 0 };
    for (const [mesh, up] of [
      [s.frustum(30, 0.1, 60), -1],
      [s.frustum(0.1, 30, 60), 1],
    ] as const) {
      const [best] = (await advisePartings(s.asPattern(mesh), { ...few, weights })).candidates;
      expect(best.direction[2]).toBeCloseTo(up, 6);
      expect(best.otherWayUp.sentence).toMatch(/mostly for: heavy sections below the top\.$/);
      // The middle of the squares of the distances lies within the lower half of the cone.
      expect(criterion(best, 'heavySection').value).toBeLessThan(0.35 * 60);
      expect(criterion(best, 'heavySection').value).toBeGreaterThan(0.15 * 60);
    }
  });

  it('says what turning over does to both depths, and never turns a draw of the caller’s own', () => {
    const cone = s.asPattern(s.frustum(30, 0.1, 60));
    const wrong = candidateAlong(cone, [0, 0, 1], { columns: 64 });
    expect(wrong.direction).toEqual([0, 0, 1]);
    expect(wrong.assessment.copeDepth).toBeCloseTo(60, 9);
    expect(wrong.otherWayUp).toMatchObject({ allowed: true, copeDepth: 0 });
    expect(wrong.otherWayUp.dragDepth).toBeCloseTo(60, 9);
    expect(wrong.otherWayUp.points).toBeLessThan(wrong.points);
    expect(wrong.otherWayUp.sentence).toMatch(/points better/);
    const right = candidateAlong(cone, [0, 0, -1], { columns: 64 });
    expect(right.points).toBeCloseTo(wrong.otherWayUp.points, 3);
    expect(right.otherWayUp.points).toBeCloseTo(wrong.points, 3);
  });
});
