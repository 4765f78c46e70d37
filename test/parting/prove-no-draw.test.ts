/** Solids that are known never to draw, and solids that do; derived by hand. */
import { describe, expect, it } from 'vitest';
import { angleBetweenDeg, dot, scale, type Vec3 } from '@oddside/core';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { heldRoundDeg } from '../../packages/parting/src/find-witness.js';
import { surveyShells } from '../../packages/parting/src/find-voids.js';
import { sumColumns } from '../../packages/parting/src/measure-columns.js';
import { nearestOnSurface, windingAt } from '../../packages/parting/src/probe-surface.js';
import { proveNoDraw } from '../../packages/parting/src/prove-no-draw.js';
import { readyRuling, ruleOutDraw } from '../../packages/parting/src/rule-out-draws.js';
import { sampleDirections } from '../../packages/parting/src/sample-directions.js';
import {
  asPattern,
  blockyMug,
  box,
  boxesUnion,
  hollowCube,
  linkedRings,
  merge,
  pinnedStairs,
  polycube,
  pulley,
  rotate,
  span,
  sphere,
  torus,
  translate,
  trefoil,
  turnOver,
  twoArms,
  twoPocketCube,
  type Mesh,
} from '../helpers/shapes.js';

describe('proveNoDraw', () => {
  it('proves it of a hollow cube by its void', async () => {
    const proof = await proveNoDraw(asPattern(translate(hollowCube(), [10, 20, 30])));
    expect(proof).toMatchObject({ proved: true, by: 'enclosed void', coveredShare: 1 });
    expect(proof.voids).toHaveLength(1);
    expect(proof.voids[0].volumeMm3).toBeCloseTo(1, 9);
    expect(windingAt(asPattern(translate(hollowCube(), [10, 20, 30])), proof.voids[0].where)).toBe(0);
  });

  it('never calls a cube turned inside out a void, nor two bodies side by side', async () => {
    expect((await proveNoDraw(asPattern(turnOver(box())))).proved).toBe(false);
    expect((await proveNoDraw(asPattern(merge(box(), translate(box(), [3, 0, 0]))))).proved).toBe(false);
    // A body floating in a void is metal: still a void.
    const floating = merge(hollowCube(), box([0.8, 0.8, 0.8], [1.2, 1.2, 1.2]));
    expect((await proveNoDraw(asPattern(floating))).proved).toBe(true);
  });

  it.each<[string, Mesh]>([
    ['a cube with pockets in two faces', twoPocketCube(2)],
    ['the same with shallow pockets, where every draw across both holds the same', twoPocketCube(1)],
    ['a mug with a handle', blockyMug()],
    ['two linked rings', linkedRings(1, 0.25, 40, 12)],
    ['a trefoil knot', trefoil(0.45, 72, 10)],
  ])('proves it of %s by caps that can be checked', async (_, mesh) => {
    const pattern = asPattern(mesh);
    const proof = await proveNoDraw(pattern);
    expect(proof.sentence).toMatch(/^Proved/);
    expect(proof).toMatchObject({ proved: true, openDraw: null });
    expect(proof.by).toBe(proof.parted.length > 0 ? 'parted faces' : 'witness balls');
    expect(proof.witnesses.length).toBeGreaterThan(proof.parted.length);
    const ruling = await readyRuling(pattern);
    for (const { draw, reachDeg } of proof.ruled) expect(ruleOutDraw(ruling, draw).capDeg).toBe(reachDeg);
    for (const { sand, over, under } of proof.witnesses) {
      expect(windingAt(pattern, sand)).toBe(0);
      for (const ball of [over, under]) {
        expect(windingAt(pattern, ball.centre)).toBe(1);
        expect(nearestOnSurface(pattern, ball.centre).distance).toBeGreaterThanOrEqual(ball.radius);
      }
    }
    // Every draw of an even set, either way up, is in one of the caps.
    for (const d of sampleDirections(500)) {
      const held = [d, scale(d, -1)].some(
        (way) =>
          proof.witnesses.some((witness) => heldRoundDeg(witness, way) > 0) ||
          [...proof.parted, ...proof.ruled].some(({ draw, reachDeg }) => angleBetweenDeg(draw, way) <= reachDeg),
      );
      expect(held).toBe(true);
    }
  });

  it('asks the faces first: square pockets leave only draws near their axes to columns', async () => {
    const proof = await proveNoDraw(asPattern(twoPocketCube(2)));
    expect(proof.ruled.length).toBeGreaterThan(10);
    expect(new Set(proof.ruled.map(({ by }) => by))).toEqual(new Set(['re-entrant edge']));
    expect(proof.sentence).toMatch(/ places held .* and \d+ caps of draws that a re-entrant edge or the shadow/);
    for (const { where } of proof.ruled) {
      expect(nearestOnSurface(asPattern(twoPocketCube(2)), where!).distance).toBeLessThan(1e-12);
    }
  });

  it('proves it of a lattice by faces and hull alone, without a column', async () => {
    const places = Array.from({ length: 729 }, (_, i): [number, number, number] => [
      i % 9,
      Math.floor(i / 9) % 9,
      Math.floor(i / 81),
    ]);
    const bars = polycube(...places.filter((place) => place.filter((x) => x % 2 === 1).length <= 1));
    const proof = await proveNoDraw(asPattern(bars));
    expect(proof).toMatchObject({ proved: true, by: 'faces and hull', witnesses: [], parted: [], coveredShare: 1 });
    expect(new Set(proof.ruled.map(({ by }) => by))).toEqual(new Set(['re-entrant edge', 'shadow too small']));
    for (const d of sampleDirections(500)) {
      const held = [d, scale(d, -1)].some((way) =>
        proof.ruled.some(({ draw, reachDeg }) => angleBetweenDeg(draw, way) <= reachDeg),
      );
      expect(held).toBe(true);
    }
  });

  it('proves nothing of what draws, and names a draw where it stopped', async () => {
    for (const mesh of [sphere(5, 2), box(), torus(3, 1, 32, 16), twoArms(), pulley(5, 3, 2, 1, 32), pinnedStairs()]) {
      const proof = await proveNoDraw(asPattern(mesh), { finestDeg: 8 });
      expect(proof.proved).toBe(false);
      expect(proof.by).toBeNull();
      expect(proof.openDraw).not.toBeNull();
      expect(proof.sentence).toMatch(/^Not proved/);
    }
  });

  it('proves it however the solid is turned', async () => {
    const proof = await proveNoDraw(asPattern(rotate(twoPocketCube(2), [1, 2, 3], 50)));
    expect(proof.proved).toBe(true);
  });

  it('proves nothing of an open surface or of more triangles than allowed', async () => {
    const cube = twoPocketCube(2);
    const open = { positions: cube.positions, triangles: cube.triangles.slice(3) };
    expect(await proveNoDraw(asPattern(open))).toMatchObject({ proved: false, coveredShare: 0 });
    expect((await proveNoDraw(asPattern(cube), { mostTriangles: 10 })).sentence).toMatch(/^Not looked for/);
  });

  it('reports progress to one 1 and stops on abort', async () => {
    const seen: number[] = [];
    await proveNoDraw(asPattern(twoPocketCube(2)), { onProgress: (x) => seen.push(x) });
    expect(seen.at(-1)).toBe(1);
    expect(seen).toEqual(seen.toSorted((a, b) => a - b));
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(proveNoDraw(asPattern(box()), { signal: stop.signal })).rejects.toThrow('enough');
    await expect(proveNoDraw(asPattern(box()), { finestDeg: 0 })).rejects.toThrow(/finestDeg/);
  });
});

describe('surveyShells', () => {
  it('counts handles: none on a ball, one on a ring, one on a mug, two on linked rings', () => {
    expect(surveyShells(asPattern(sphere(1, 2))).handles).toBe(0);
    expect(surveyShells(asPattern(torus(3, 1, 16, 8))).handles).toBe(1);
    expect(surveyShells(asPattern(blockyMug())).handles).toBe(1);
    expect(surveyShells(asPattern(linkedRings(1, 0.25, 16, 8)))).toMatchObject({ handles: 2, bodies: 2 });
  });
});

describe('the witness condition', () => {
  it('holds exactly the draws that meet both balls', () => {
    // Two slabs with a slit between: sand in the middle of the slit is held for draws near upright.
    const slabs = asPattern(
      boxesUnion([span([0, 4], [0, 4], [0, 1]), span([0, 4], [0, 4], [2, 3]), span([0, 0.5], [0, 4], [1, 2])]),
    );
    const witness = {
      sand: [2, 2, 1.5] as Vec3,
      over: { centre: [2, 2, 2.5] as Vec3, radius: 0.5 },
      under: { centre: [2, 2, 0.5] as Vec3, radius: 0.5 },
      towardsOver: [0, 0, 1] as Vec3,
      overDeg: 30,
      towardsUnder: [0, 0, 1] as Vec3,
      underDeg: 30,
    };
    for (const d of sampleDirections(200)) {
      expect(heldRoundDeg(witness, d)).toBeCloseTo(30 - angleBetweenDeg(d, [0, 0, 1]), 9);
      if (heldRoundDeg(witness, d) <= 0) continue;
      expect(dot(d, [0, 0, 1])).toBeGreaterThan(Math.cos(Math.PI / 6));
      expect(sumColumns(castColumns(slabs, d, 64)).backDraftMm3).toBeGreaterThan(0);
    }
  });
});
