import { describe, expect, it } from 'vitest';
import { assessDraw, castColumns, jointLadder, type JointLadder } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { fitSlopedJoint } from '../../packages/parting/src/fit-sloped-joint.js';
import { fitTiltedJoint } from '../../packages/parting/src/fit-tilted-joint.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];
const ladder = (mesh: s.Mesh, draw: Vec3 = Z, options?: object): Promise<JointLadder> =>
  jointLadder(s.asPattern(mesh), draw, options);

/** What every ladder must keep to. */
function expectSound(found: JointLadder): void {
  const slack = 1e-6 * found.rungs[0].trappedMm3 + 1e-9;
  for (const [i, rung] of found.rungs.entries()) {
    expect(rung.leastMm3).toBeLessThanOrEqual(rung.trappedMm3 + slack);
    expect(rung.leastMm3).toBeGreaterThanOrEqual(found.backDraftMm3 - slack);
    expect(rung.dugMm3).toBeGreaterThanOrEqual(-slack);
    if (i > 0) expect(rung.trappedMm3).toBeLessThanOrEqual(found.rungs[i - 1].trappedMm3 + slack);
  }
  expect(found.rungs.map((rung) => rung.kind)).toEqual(['flat', 'tilted', 'sloped', 'free']);
  expect(found.rungs[3].trappedMm3).toBeCloseTo(found.backDraftMm3, 9);
}

describe('jointLadder', () => {
  it('O1 a cube: all four the same, nothing dug, the board level', async () => {
    const found = await ladder(s.box([0, 0, 0], [40, 40, 40]));
    expectSound(found);
    for (const rung of found.rungs)
      expect(rung).toMatchObject({ tiltDeg: 0, trappedMm3: expect.closeTo(0, 6), dugMm3: expect.closeTo(0, 6) });
  });

  it('O2 a tetrahedron on edge: tilting does not help; a joint of 45° frees it, one of 30° does not', async () => {
    const mesh = s.scale(s.tetrahedron(), 30);
    const exact = (2 / 3) * 27_000;
    const steep = await ladder(mesh, Z, { slopeLimitDeg: 46 });
    expectSound(steep);
    expect(steep.rungs[0].trappedMm3 / exact).toBeCloseTo(1, 2);
    expect(steep.rungs[1].trappedMm3 / exact).toBeCloseTo(1, 2);
    expect(steep.rungs[1].leastMm3 / exact).toBeCloseTo(1, 2);
    expect(steep.rungs[2].trappedMm3).toBeLessThan(1e-6 * exact);
    expect(steep.rungs[2].dugMm3).toBeGreaterThan(exact * 0.99);
    const gentle = await ladder(mesh, Z, { slopeLimitDeg: 30, columns: 48 });
    expectSound(gentle);
    expect(gentle.rungs[2].leastMm3).toBeGreaterThan(0.05 * exact);
    expect(gentle.rungs[2].trappedMm3).toBeLessThan(0.9 * exact);
    expect(gentle.rungs[2].trappedMm3 - gentle.rungs[2].leastMm3).toBeLessThan(0.03 * exact);
  });

  it('O4 an ellipsoid drawn aslant parts in a plane: tilted, it traps next to nothing', async () => {
    const half = [30, 20, 10] as const;
    const draw: Vec3 = [0.6, 0, 0.8];
    const found = await ladder(s.scale(s.sphere(1, 5), half), draw, { slopeLimitDeg: 60 });
    expectSound(found);
    // The plane of its parting line is conjugate to the draw: normal M d, M = diag(1 / half²).
    const normal = draw.map((c, i) => c / half[i] ** 2);
    const cosine = draw.reduce((sum, c, i) => sum + c * normal[i], 0) / Math.hypot(...normal);
    expect(found.rungs[1].tiltDeg).toBeCloseTo((Math.acos(cosine) * 180) / Math.PI, 0);
    expect(found.rungs[1].trappedMm3).toBeLessThan(0.01 * found.rungs[0].trappedMm3);
    expect(found.rungs[0].trappedMm3).toBeGreaterThan(1000);
  });

  it('O18 pinned stairs: 5 flat, less tilted, least free', async () => {
    const found = await ladder(s.scale(s.pinnedStairs(), 10), Z, { columns: 48 });
    expectSound(found);
    expect(found.rungs[0].trappedMm3 / 5000).toBeCloseTo(1, 1);
    expect(found.rungs[1].trappedMm3).toBeLessThan(0.5 * found.rungs[0].trappedMm3);
    expect(found.rungs[1].leastMm3).toBeGreaterThan(0.99 * found.rungs[1].trappedMm3 - 1);
  });

  it('the hare: sound, turns with it, grows with the cube of its size', async () => {
    const mesh = s.scale(bunnyMesh(), 10);
    const found = await ladder(mesh, [1, 2, 3], { columns: 48 });
    expectSound(found);
    expect(found.rungs[1].trappedMm3).toBeLessThan(found.rungs[0].trappedMm3);
    const twice = await ladder(s.scale(mesh, 2), [1, 2, 3], { columns: 48, margin: 80 });
    twice.rungs.forEach((rung, i) => expect(rung.trappedMm3 / 8 / found.rungs[i].trappedMm3).toBeCloseTo(1, 6));
    const flat = assessDraw(s.asPattern(mesh), [1, 2, 3], { columns: 48 });
    expect(found.rungs[0].trappedMm3).toBeCloseTo(flat.backDraftMm3 + flat.flat.misfitMm3, 6);
  });

  it('reports its progress, stops when told, refuses bad options', async () => {
    const seen: number[] = [];
    await ladder(s.pinnedStairs(), Z, { columns: 24, onProgress: (f: number) => seen.push(f) });
    expect(seen.every((f, i) => i === 0 || f >= seen[i - 1])).toBe(true);
    expect(seen.filter((f) => f === 1)).toHaveLength(1);
    const stopped = AbortSignal.abort(new Error('enough'));
    await expect(ladder(s.box(), Z, { signal: stopped })).rejects.toThrow('enough');
    await expect(ladder(s.box(), Z, { slopeLimitDeg: 0 })).rejects.toMatchObject({ code: 'bad-number' });
    await expect(ladder(s.box(), Z, { columns: 4 })).rejects.toMatchObject({ code: 'bad-number' });
    await expect(ladder(s.box(), Z, { slope: 4 })).rejects.toMatchObject({ code: 'bad-option' });
    await expect(ladder(s.box(), [0, 0, 0])).rejects.toMatchObject({ code: 'bad-direction' });
  });

  it('lets nothing unchecked reach a thread, and refuses it as it does without threads', async () => {
    const asked: object[] = [];
    const threads = { count: 1, close: () => {}, keyOf: () => 0, ask: (question: object) => asked.push(question) };
    const line = { from: [0, 0, 0], to: [1, 0, 0], places: 3 };
    const hole = s.box();
    hole.triangles[4] = 1000;
    for (const [mesh, draw, options, code] of [
      [s.box(), [0, 0, 0], {}, 'bad-direction'],
      [s.box(), [0, 0, NaN], {}, 'bad-direction'],
      [s.box(), Z, { slopeLimitDeg: 81 }, 'bad-number'],
      [s.box(), Z, { columns: 8.5 }, 'bad-number'],
      [s.box(), Z, { margin: -1 }, 'bad-number'],
      [s.box(), Z, { along: { ...line, places: 1 } }, 'bad-number'],
      [s.box(), Z, { along: { ...line, from: [0, NaN, 0] } }, 'bad-number'],
      [s.box(), Z, { along: { ...line, to: undefined } }, 'bad-number'],
      [hole, Z, {}, 'bad-pattern'],
    ] as const) {
      await expect(ladder(mesh, draw as Vec3, options)).rejects.toMatchObject({ code });
      await expect(ladder(mesh, draw as Vec3, { ...options, threads })).rejects.toMatchObject({ code });
    }
    expect(asked).toEqual([]);
    await ladder(s.box(), Z, { along: line, threads });
    expect(asked).toMatchObject([{ kind: 'ladder', options: { columns: 96, along: line } }]);
  });
});

describe('the certificates', () => {
  it('no plane of 4000 at random misses less than the proven least, and the fit is within a thousandth of it', () => {
    const random = s.seededRandom(19);
    for (const mesh of [bunnyMesh(), s.pinnedStairs(), s.tetrahedron(), s.blockyMug()]) {
      const draw = s.randomDirection(random) as Vec3;
      const field = castColumns(s.asPattern(mesh), draw, 40);
      const found = fitTiltedJoint(field, 0.8);
      expect(found.miss - found.least).toBeLessThanOrEqual(1e-3 * found.miss + 1e-9);
      for (let i = 0; i < 1000; i++) {
        // Half of them far, half near the one found.
        const near = i % 2 === 0 ? 1 : [0.05, 5e-3, 5e-4, 5e-5][(i >> 1) % 4];
        const height = (i % 2 === 0 ? 0 : found.height) + near * (2 * random() - 1) * field.highest;
        const [a, b] = [random() * 2 * Math.PI, 0.8 * random()];
        const [p, q] =
          i % 2 === 0
            ? [b * Math.cos(a), b * Math.sin(a)]
            : [found.slopeU + near * Math.cos(a), found.slopeV + near * Math.sin(a)];
        let miss = 0;
        for (let k = 0; k < field.nu * field.nv; k++) {
          if (field.cells[4 * k] === -Infinity) continue;
          const z =
            height +
            p * (field.u0 + (k % field.nu) * field.column) +
            q * (field.v0 + Math.floor(k / field.nu) * field.column);
          miss += Math.max(0, field.cells[4 * k + 1] - z, z - field.cells[4 * k]);
        }
        if (Math.hypot(p, q) <= 0.8) expect(miss).toBeGreaterThanOrEqual(found.least - 1e-9);
      }
    }
  });

  it('a sloped joint in one dimension: a step of height 1 between two flats of n columns', async () => {
    // Fixed at 0 on the left, 1 on the right, slope m a column: the ramp misses 1/(4m) in all, the best any ramp can do.
    const width = 41;
    const low = Float64Array.from({ length: width * 3 }, (_, i) =>
      i % width < 20 ? 0 : i % width > 20 ? 1 : Infinity,
    );
    const high = low.map((z) => (z === Infinity ? -Infinity : z));
    const most = 0.05;
    const found = await fitSlopedJoint({ width, height: 3, low, high, most }, 0.5, 1, 0.002, 60, async () => {});
    // Twenty steps of 0.05: from 0 to 1 the ramp passes the columns at 0.05 … 0.95, half of each side off by its height.
    const exact = 3 * 2 * [1, 2, 3, 4, 5, 6, 7, 8, 9].reduce((sum, k) => sum + 0.05 * k, 0);
    // Stopped at any time, the bound is below the answer and the miss above it.
    for (const looks of [1, 2, 3, 5, 8, 13]) {
      const early = await fitSlopedJoint({ width, height: 3, low, high, most }, 0.1, 1, 0, looks, async () => {});
      expect(early.least).toBeLessThanOrEqual(exact + 1e-9);
      expect(early.miss).toBeGreaterThanOrEqual(exact - 1e-9);
    }
    expect(found.miss).toBeCloseTo(exact, 1);
    expect(found.least).toBeGreaterThan(exact - 0.1);
    for (let i = 0; i + 1 < width; i++)
      expect(Math.abs(found.heights[i + 1] - found.heights[i])).toBeLessThanOrEqual(most + 1e-9);
  });
});
