/** The withdrawal proof against closed forms; sources of the forms as in the parting oracles: derived by hand. */
import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear } from './solid-checks.js';

const solids = await openSolids();
const X: Vec3 = [1, 0, 0];
const Y: Vec3 = [0, 1, 0];
const Z: Vec3 = [0, 0, 1];
const r2 = Math.SQRT1_2;

describe('held sand', () => {
  it.each<[string, s.Mesh, Vec3, number]>([
    ['mug z', s.blockyMug(), Z, 3],
    ['mug x', s.blockyMug(), X, 15],
    ['mug y', s.blockyMug(), Y, 12],
    ['hollow cube askew', s.hollowCube(), [0.3, 0.5, 0.7], 1],
    ['lipped channel z', s.lippedChannel(2), Z, 6],
    ['lipped channel x', s.lippedChannel(2), X, 9],
    ['dovetail z', s.dovetail(1, 2, 1, 3), Z, 1.5],
    ['notch z', s.uNotch(), Z, 1],
    ['notch at 30°', s.uNotch(), [0.5, 0, Math.sqrt(3) / 2], 1 - Math.tan(Math.PI / 6) / 2],
    ['two arms x', s.twoArms(), X, 2],
    ['bracket at 45°', s.lBracket(2), [r2, 0, -r2], 1],
    ['two pockets at 45°', s.twoPocketCube(), [0, r2, r2], 3],
    ['pinned stairs x', s.pinnedStairs(), X, 1],
    ['square hole tilted', s.plateWithSquareHole(8, 2, 1), [Math.sin(1), 0, Math.cos(1)], 2 - 1 / Math.tan(1)],
  ])('%s', async (_, mesh, draw, exact) => {
    const proof = await solids.proveDraw(s.asPattern(mesh), draw, { steps: 0 });
    expectNear(proof.held.trappedMm3, exact, 1e-5);
    expect(proof.draws).toBe(false);
    expect(proof.findings.map(({ code }) => code)).toEqual(['torn-sand']);
    expect(proof.held.firstContact?.travel).toBe(0);
  });

  it.each<[string, s.Mesh, Vec3]>([
    ['box', s.box(), [1, 2, 3]],
    ['tetrahedron', s.tetrahedron(), Z],
    ['bracket', s.lBracket(), [1, 0, 1]],
    ['spiral of 8', s.spiralStair(8), Z],
    ['pinned stairs', s.pinnedStairs(), Z],
    ['dovetail along', s.dovetail(), Y],
    ['channel along', s.lippedChannel(), Y],
    ['ball', s.sphere(10, 3), [0.3, 0.2, 0.9]],
    ['ring', s.torus(10, 4, 64, 32), Z],
  ])('none: %s', async (_, mesh, draw) => {
    const proof = await solids.proveDraw(s.asPattern(mesh), draw);
    expect(proof.trappedMm3).toBeLessThanOrEqual(proof.errorMm3);
    expect(proof).toMatchObject({ draws: true, findings: [], cope: null, drag: null });
    expect(proof.held.firstContact).toBeNull();
    expect(proof.held.steps.every(({ collisionMm3 }) => collisionMm3 <= proof.errorMm3)).toBe(true);
  });
});

describe('along a joint', () => {
  it('a ball parted h off its middle tears π h³ / 3', async () => {
    const ball = s.asPattern(s.sphere(10, 5));
    for (const [height, half] of [
      [4, 'drag'],
      [-4, 'cope'],
    ] as const) {
      const proof = await solids.proveDraw(ball, Z, { joint: { kind: 'level', height }, steps: 0 });
      const other = half === 'drag' ? 'cope' : 'drag';
      expectNear(proof[half]!.trappedMm3, (Math.PI * 64) / 3, 0.01);
      expect(proof[other]!.trappedMm3).toBeLessThanOrEqual(proof.errorMm3);
      expect(proof.held.trappedMm3).toBeLessThanOrEqual(proof.errorMm3);
    }
  });

  it('a ball parted along a plane tilted by a tears 4/3 r³ (tan a - a)', async () => {
    const a = 0.5;
    const joint = { kind: 'tilted', point: [0, 0, 0], normal: [Math.sin(a), 0, Math.cos(a)] } as const;
    const proof = await solids.proveDraw(s.asPattern(s.sphere(10, 5)), Z, { joint, steps: 0 });
    expectNear(proof.trappedMm3, (4000 / 3) * (Math.tan(a) - a), 0.01);
  });

  it('pinned stairs tear 5 along the best level joint, and nothing along a joint that climbs with them', async () => {
    const stairs = s.asPattern(s.pinnedStairs());
    const level = await solids.proveDraw(stairs, Z, { joint: { kind: 'level', height: 2.5 }, steps: 0 });
    expectNear(level.trappedMm3, 5);
    // Through the floor of the pocket (1) over the lowest step, between roof and floor of its neighbours where steps meet.
    const along = (x: number): number =>
      x <= 1.5 ? 1 : x <= 2 ? 1 + 1.5 * (x - 1.5) : x <= 4 ? 1.75 + 0.75 * (x - 2) : 3.25;
    const heights = Float64Array.from({ length: 13 * 2 }, (_, k) => along((k % 13) / 2));
    const [origin, column, nu, nv]: [Vec3, number, number, number] = [[0, 0, 0], 0.5, 13, 2];
    const climbing = { kind: 'surface', origin, u: X, v: Y, column, nu, nv, u0: 0, v0: 0, heights } as const;
    const proof = await solids.proveDraw(stairs, Z, { joint: climbing, steps: 0 });
    expect(proof.trappedMm3).toBeLessThanOrEqual(proof.errorMm3);
    expect(proof.draws).toBe(true);
    // Half a millimetre higher the drag is torn under it: at least in the pocket, one square by a half.
    const raised = { ...climbing, heights: heights.map((h) => h + 0.5) };
    expect((await solids.proveDraw(stairs, Z, { joint: raised, steps: 0 })).trappedMm3).toBeGreaterThan(0.4);
  });

  it('is the same however the whole lies in space', async () => {
    const turn = s.randomRotation(5);
    const mug = s.translate(s.rotate(s.blockyMug(), turn.axis, turn.deg), [100, -50, 30]);
    const draw = s.turnPoint([0, 0, 1], turn.axis, turn.deg);
    const proof = await solids.proveDraw(s.asPattern(mug), draw, { steps: 0 });
    expectNear(proof.held.trappedMm3, 3, 1e-3);
  });
});

describe('steps, places and rapping', () => {
  it('a notch is met by its roof: collisions shrink as the sand passes through the metal', async () => {
    // The torn sand is the notch, [1,2]×[0,1]×[1,2], and the metal over it is one high: moved by t it meets min(t, 2 - t).
    const proof = await solids.proveDraw(s.asPattern(s.uNotch()), Z, { steps: 6 });
    for (const { travel, collisionMm3 } of proof.held.steps) {
      expect(collisionMm3).toBeCloseTo(Math.max(0, Math.min(travel, 2 - travel)), 5);
    }
    const [place] = proof.held.places;
    expect(proof.held.places).toHaveLength(1);
    expectNear(place.volumeMm3, 1);
    [1.5, 0.5, 1.5].forEach((c, k) => expect(place.where[k]).toBeCloseTo(c, 5));
    expect([...place.size].sort()).toEqual([1, 1, 1]);
  });

  it('a lip of 0.75 each side is freed by rapping 0.8, and shrinks before', async () => {
    const block = s.asPattern(s.lippedChannel(40));
    const proof = await solids.proveDraw(block, Z, { steps: 0, rapping: [0.25, 0.8] });
    const [small, large] = proof.held.rapping;
    expectNear(proof.held.trappedMm3, 120);
    // Each side of the channel is knocked back by 0.25, and so is each end of it by nothing: it is open there.
    expect(small.trappedMm3).toBeLessThan(120 - 2 * 0.2 * 2 * 39);
    expect(small.trappedMm3).toBeGreaterThan(120 - 2 * 0.25 * 2 * 40 - 20);
    expect(large.trappedMm3).toBeLessThan(small.trappedMm3 / 2);
  });

  it('reports progress that rises and ends in one 1', async () => {
    const seen: number[] = [];
    const joint = { kind: 'level', height: 2 } as const;
    await solids.proveDraw(s.asPattern(s.blockyMug()), Z, { joint, onProgress: (f) => seen.push(f) });
    expect(seen.length).toBeGreaterThan(5);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(seen.filter((f) => f === 1)).toHaveLength(1);
    expect(seen.at(-1)).toBe(1);
  });
});

describe('faces that touch in plan', () => {
  // Walls face to face within one solid made the kernel answer wrongly; faces that touch go in different layers.
  it('stacked and abutting steps come out exact', async () => {
    const steps = s.boxesUnion(
      [
        s.span([0, 6], [0, 4], [0, 1]),
        s.span([0, 2], [0, 4], [1, 6]),
        s.span([2, 4], [0, 2], [2, 3]),
        s.span([2, 4], [2, 4], [2.5, 3.5]),
        s.span([4, 6], [0, 4], [3, 5]),
      ],
      [s.span([4.5, 5], [1, 2], [3, 5])],
    );
    // Under the first step 2·2·1, the second 2·2·1.5, the third 2·4·2 less its hole 0.5·1·2; and nothing else.
    const proof = await solids.proveDraw(s.asPattern(steps), Z, { steps: 0 });
    expectNear(proof.held.trappedMm3, 4 + 6 + 16 - 1, 1e-5);
    const turn = s.randomRotation(3);
    const askew = s.asPattern(s.rotate(steps, turn.axis, turn.deg));
    const again = await solids.proveDraw(askew, s.turnPoint([0, 0, 1], turn.axis, turn.deg), { steps: 0 });
    expectNear(again.held.trappedMm3, 25, 1e-4);
  });
});
