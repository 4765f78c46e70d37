/** What the founder may wish for, and what comes of it; solids in closed form, derived by hand. */
import { describe, expect, it } from 'vitest';
import {
  ADVISE_PARTINGS_DEFAULTS,
  advisePartings,
  axialAngleDeg,
  surveySurface,
  tracePartingLine,
  assessDraw,
  type FacePick,
  type PartingAdvice,
  type PartingWishes,
} from '@oddside/parting';
import { lookUpSurface } from '@oddside/pattern';
import { angleBetweenDeg, type Vec3 } from '@oddside/core';
import { lengthAcross } from '../../packages/parting/src/cross-face.js';
import { acrossFaces, type DrawRules } from '../../packages/parting/src/draw-rules.js';
import { pickFace, type PickedFace } from '../../packages/parting/src/pick-face.js';
import { readySearch } from '../../packages/parting/src/ready-search.js';
import { tryDraw } from '../../packages/parting/src/try-draw.js';
import * as s from '../helpers/shapes.js';

const few = { samples: 100, searchColumns: 24, columns: 96, candidates: 4 } as const;
const advise = (mesh: s.Mesh, wishes?: Partial<PartingWishes>): Promise<PartingAdvice> =>
  advisePartings(s.asPattern(mesh), { ...few, wishes });
const pick = (mesh: s.Mesh, face: FacePick): PickedFace => {
  const pattern = s.asPattern(mesh);
  return pickFace(pattern, face, 'unmarked', surveySurface(pattern).size, lookUpSurface(pattern));
};

/** Triangles of a ball of radius 10 whose middles lie above a height. */
const ball = s.sphere(10, 3);
const capAbove = (height: number): number[] =>
  Array.from({ length: ball.triangles.length / 3 }, (_, t) => t).filter(
    (t) => [0, 1, 2].reduce((sum, k) => sum + ball.positions[3 * ball.triangles[3 * t + k] + 2], 0) / 3 > height,
  );

describe('picking a face', () => {
  it('a point on a block picks its flat; on an upright tube the third of it that looks that way', () => {
    const flat = pick(s.box([0, 0, 0], [20, 30, 50]), { point: [0, 15, 25] });
    expect(flat.areaMm2).toBeCloseTo(1500, 9);
    expect(flat.normal).toEqual([-1, 0, 0]);
    const side = pick(s.cylinder(10, 60, 64), { point: [10, 0, 5] });
    // Facets within 60° of the first, 5.625° each: ten on either side and itself.
    expect(side.areaMm2).toBeCloseTo(21 * 2 * 10 * Math.sin(Math.PI / 64) * 60, 6);
    expect(Math.abs(side.normal[2])).toBeLessThan(1e-12);
  });

  it('a normal picks all that looks that way; triangles pick themselves', () => {
    expect(pick(s.lBracket(), { normal: [0, 0, 1] }).areaMm2).toBeCloseTo(2, 9);
    expect(pick(s.box(), { triangles: [0, 0, 1] }).areaMm2).toBeCloseTo(1, 9);
  });

  it.each([
    [{ point: [200, 0, 0] }, /off the surface/],
    [{ point: [1, 2] }, /three finite numbers/],
    [{ triangles: [] }, /an empty list/],
    [{ triangles: [12] }, /0 to 11; 12 came/],
    [{ triangles: 3 }, /no list came/],
    [{ normal: [1, 1, 1] }, /there is none/],
    [{ face: 3 }, /face came/],
    [{}, /none came/],
    [undefined, /none came/],
  ])('refuses %j', (face, message) => {
    expect(() => pick(s.box(), face as unknown as FacePick)).toThrow(message);
  });
});

describe('this face down', () => {
  it.each([
    [{ point: [0, 15, 25] }, [1, 0, 0]],
    [{ point: [10, 15, 50] }, [0, 0, -1]],
    [{ normal: [0, 2, 0] }, [0, -1, 0]],
  ] as [FacePick, Vec3][])('a block on the face %j', async (faceDown, draw) => {
    const { candidates } = await advise(s.box([0, 0, 0], [20, 30, 50]), { faceDown });
    expect(angleBetweenDeg(candidates[0].direction, draw)).toBeLessThan(1e-6);
    for (const { direction } of candidates) expect(angleBetweenDeg(direction, draw)).toBeLessThanOrEqual(15 + 1e-5);
  });

  it('is obeyed against what is cheaper, and says that turning over is ruled out', async () => {
    const { candidates } = await advise(s.frustum(30, 0.1, 60), { faceDown: { point: [0, 0, 0] } });
    expect(angleBetweenDeg(candidates[0].direction, [0, 0, 1])).toBeLessThan(1e-6);
    expect(candidates[0].assessment.copeDepth).toBeCloseTo(60, 6);
    expect(candidates[0].otherWayUp.allowed).toBe(false);
    expect(candidates[0].otherWayUp.sentence).toMatch(/which limits or wishes rule out\.$/);
  });

  it('holds against a limit too: the way wished for is the one that is said to pass it', async () => {
    const cone = s.asPattern(s.frustum(30, 0.1, 60));
    const wishes = { faceDown: { point: [0, 0, 0] as Vec3 } };
    const advice = await advisePartings(cone, { ...few, wishes, limits: { copeDepth: 10 } });
    expect(advice.candidates).toEqual([]);
    expect(advice.findings[0].message).toMatch(/stands .* mm in the cope, .* mm over the limit of 10 mm/);
    const refused = advice.rejected.filter(({ reason }) => reason.includes('over the limit'));
    expect(refused.length).toBeGreaterThan(0);
    for (const { direction } of refused) expect(direction[2]).toBeGreaterThan(0.9);
    expect(advice.rejected.some(({ reason }) => reason.includes('leans further'))).toBe(false);
  });

  it('a draw tried is tried the way up that is wished for, whatever the other costs', () => {
    const mesh = s.asPattern(s.frustum(30, 0.1, 60));
    const { scratch, judging } = readySearch('test', mesh, { ...ADVISE_PARTINGS_DEFAULTS });
    const tried = (rules: DrawRules): Vec3 => tryDraw(mesh, [0, 0, 1], 'asked for', 48, rules, scratch).direction;
    expect(tried(judging.rules)[2]).toBe(-1);
    const cones = [{ axis: [0, 0, 1] as Vec3, withinDeg: 15, oneWay: true }];
    expect(tried({ ...judging.rules, cones })[2]).toBe(1);
  });

  it('refuses a face that curls all the way round', async () => {
    const all = Array.from({ length: ball.triangles.length / 3 }, (_, t) => t);
    await expect(advise(ball, { faceDown: { triangles: all } })).rejects.toThrow(/curls round/);
  });
});

describe('this axis upright', () => {
  it('stands a bar on its end that would lie on its side', async () => {
    const bar = s.cylinder(10, 60);
    const free = await advise(bar);
    expect(axialAngleDeg(free.candidates[0].direction, [0, 0, 1])).toBeGreaterThan(80);
    const { candidates } = await advise(bar, { upright: [0, 0, -3] });
    expect(axialAngleDeg(candidates[0].direction, [0, 0, 1])).toBeLessThan(1e-6);
    expect(candidates[0].assessment.dragDepth).toBeCloseTo(60, 6);
  });

  it('of a pulley is obeyed though it holds sand, and says that asking for less may draw', async () => {
    const advice = await advise(s.scale(s.pulley(3, 2, 1.5), 20), { upright: [0, 0, 1], withinDeg: 5 });
    for (const { direction, verdict } of advice.candidates) {
      expect(axialAngleDeg(direction, [0, 0, 1])).toBeLessThanOrEqual(5 + 1e-5);
      expect(verdict).toBe('held');
    }
    expect(advice.findings[0]).toMatchObject({ code: 'no-clean-draw' });
    expect(advice.findings[0].message).toMatch(/within the limits and wishes/);
    expect(advice.findings[0].remedy).toMatch(/^Ask for less/);
  });

  it('contradicting the face down is an error that says by how much', async () => {
    const wishes = { upright: [0, 0, 1] as Vec3, faceDown: { normal: [1, 0, 0] as Vec3 } };
    await expect(advise(s.box(), wishes)).rejects.toThrow(/90° apart, and a draw may lean 15°/);
    const both = await advise(s.box([0, 0, 0], [20, 30, 50]), {
      ...wishes,
      faceDown: { normal: [0, -0.2, -1] },
    });
    for (const { direction } of both.candidates) {
      expect(angleBetweenDeg(direction, [0, 0.2, 1])).toBeLessThanOrEqual(15 + 1e-5);
      expect(axialAngleDeg(direction, [0, 0, 1])).toBeLessThanOrEqual(15 + 1e-5);
    }
  });
});

describe('never mark this face', () => {
  it('length across: a great circle over a ball’s cap is as long as the cap’s arc, less what is counted as its edge', () => {
    const pattern = s.asPattern(s.sphere(10, 4));
    const triangles = Array.from({ length: pattern.triangles.length / 3 }, (_, t) => t).filter(
      (t) => [0, 1, 2].reduce((sum, k) => sum + pattern.positions[3 * pattern.triangles[3 * t + k] + 2], 0) / 3 > 8,
    );
    const nearest = lookUpSurface(pattern);
    const face = pickFace(pattern, { triangles }, 'unmarked', 20, nearest);
    const along = (draw: Vec3): number => {
      const assessment = assessDraw(pattern, draw, { columns: 192 });
      return lengthAcross(pattern, tracePartingLine(pattern, assessment), face, nearest);
    };
    const arc = 2 * 10 * Math.acos(0.8);
    const edges = 2 * 1.5 * (20 / 192);
    expect(Math.abs(along([1, 0, 0]) - (arc - edges))).toBeLessThan(0.9);
    expect(along([0, 0, 1])).toBe(0);
    expect(acrossFaces([face], [1, 0, 0])).toBeGreaterThan(0.4);
    expect(acrossFaces([face], [0, 0, 1])).toBe(0);
  });

  it('keeps the line off a ball’s cap: no draw leans further from its axis than the cap’s edge allows', async () => {
    const { candidates, rejected } = await advise(ball, { unmarked: [{ triangles: capAbove(7) }] });
    expect(candidates.length).toBeGreaterThan(0);
    // The rim of a draw at angle a from z comes within 90° − a of the pole; the cap's edge lies acos(0.7) from it.
    const most = 90 - (Math.acos(0.7) * 180) / Math.PI;
    for (const { direction } of candidates) expect(axialAngleDeg(direction, [0, 0, 1])).toBeLessThan(most + 6);
    const marks = rejected.filter(({ reason }) => reason.includes('must not be marked'));
    for (const { direction } of marks) expect(axialAngleDeg(direction, [0, 0, 1])).toBeGreaterThan(most - 6);
  });

  it('lets the line run along a flat’s edge, and says so where every way marks', async () => {
    const block = s.box([0, 0, 0], [20, 30, 50]);
    const unmarked = [{ point: [0, 15, 25] as Vec3 }, { point: [20, 15, 25] as Vec3 }];
    const { candidates } = await advise(block, { unmarked });
    expect(axialAngleDeg(candidates[0].direction, [1, 0, 0])).toBeLessThan(1e-6);
    const all = Array.from({ length: ball.triangles.length / 3 }, (_, t) => t);
    const none = await advise(ball, { unmarked: [{ triangles: all }] });
    expect(none.candidates).toEqual([]);
    expect(none.findings[0]).toMatchObject({ code: 'no-way-unmarked', severity: 'problem' });
    expect(none.findings[0].message).toMatch(/across the face that must not be marked/);
  });
});

describe('faces to be machined', () => {
  it('turn down whatever it costs in depth, and say so', async () => {
    const { candidates } = await advise(s.box([0, 0, 0], [20, 30, 50]), { machined: [{ point: [10, 15, 50] }] });
    expect(angleBetweenDeg(candidates[0].direction, [0, 0, -1])).toBeLessThan(1e-6);
    const found = candidates[0].criteria.find(({ id }) => id === 'machined');
    expect(found).toMatchObject({ share: 0 });
    expect(found!.sentence).toMatch(/look down into the drag/);
    const free = await advise(s.box([0, 0, 0], [20, 30, 50]));
    expect(free.candidates[0].criteria.some(({ id }) => id === 'machined')).toBe(false);
  });

  it('on two opposite sides favour neither', async () => {
    const { candidates } = await advise(s.box([0, 0, 0], [20, 30, 50]), {
      machined: [{ point: [10, 15, 50] }, { point: [10, 15, 0] }],
    });
    expect(candidates[0].criteria.find(({ id }) => id === 'machined')?.share).toBeCloseTo(0.5, 12);
    expect(axialAngleDeg(candidates[0].direction, [1, 0, 0])).toBeLessThan(1e-6);
  });
});

it.each([
  [{ withinDeg: 0 }, 'bad-number'],
  [{ upright: [0, 0, 0] }, 'bad-direction'],
  [{ unmarked: { point: [0, 0, 0] } }, 'bad-option'],
  [{ facedown: { normal: [0, 0, 1] } }, 'bad-option'],
])('refuses %j', async (wishes, code) => {
  await expect(advise(s.box(), wishes as unknown as Partial<PartingWishes>)).rejects.toMatchObject({ code });
});
