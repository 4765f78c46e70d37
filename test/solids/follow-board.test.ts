import { describe, expect, it } from 'vitest';
import { openSolids, type FollowBoard, type Joint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { sharedKernel } from '../../packages/solids/src/open-kernel.js';
import { bodyOf } from '../../packages/solids/src/convert-body.js';
import { frameMesh, makeFrame } from '../../packages/solids/src/draw-frame.js';
import { inScope } from '../../packages/solids/src/own-bodies.js';
import type { Pattern } from '@oddside/pattern';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const middle: Joint = { kind: 'level', height: 0 };
const ball = s.asPattern(s.sphere(20, 4));

function expectAddsUp(made: FollowBoard): void {
  const { blockMm3, nestMm3, hollowMm3, boardMm3 } = made.volumes;
  expectNear(blockMm3 - nestMm3 - hollowMm3, boardMm3, 1e-6);
  expectNear(soundVolume(made.board), boardMm3, 1e-5);
}

/** What two patterns share, mm³, moved against each other; asked of the kernel directly. */
async function shared(a: Pattern, b: Pattern, by: Vec3 = [0, 0, 0]): Promise<number> {
  return inScope(await sharedKernel.open(), async (scope) => {
    const frame = makeFrame(a, Z);
    const [one, two] = [a, b].map((each) => bodyOf(scope, frameMesh(frame, each)));
    return scope.meet(one, scope.move(two, by)).volume();
  });
}

describe('followBoard', () => {
  it('is the block less the nest, over the joint, and the pattern lies free in it', async () => {
    const made = await solids.followBoard(ball, Z, { joint: middle, clearance: 0.3, base: 6, margin: 25 });
    expectAddsUp(made);
    expect(made.findings).toEqual([]);
    const { min, max } = s.boundsOf(made.board);
    expect(min[2]).toBeCloseTo(0, 4);
    expect(max[2]).toBeCloseTo(26.3, 1);
    expect(made.size[0]).toBeCloseTo(90, 1);
    // At least the clearance all round, at most 1.7 times as much.
    const half = (radius: number): number => (2 / 3) * Math.PI * radius ** 3;
    expect(made.volumes.nestMm3).toBeGreaterThan(0.995 * half(20.3));
    expect(made.volumes.nestMm3).toBeLessThan(half(20 + 1.7 * 0.3 + 0.1));
    expect(await shared(ball, made.board)).toBeLessThan(0.01);
    // A clearance of 0.3: it may be moved so far any way in plan, but not by 0.7.
    for (let k = 0; k < 6; k++) {
      const way = (by: number): Vec3 => [by * Math.cos(k), by * Math.sin(k), 0];
      expect(await shared(made.board, ball, way(0.29))).toBeLessThan(0.01);
      expect(await shared(made.board, ball, way(0.7))).toBeGreaterThan(1);
    }
  });

  it('without clearance block and nest are exact', async () => {
    const cube = s.asPattern(s.box([-10, -10, -5], [10, 10, 5]));
    const made = await solids.followBoard(cube, Z, { joint: middle, clearance: 0, base: 5, margin: 10 });
    expectNear(made.volumes.blockMm3, 40 * 40 * 10);
    expectNear(made.volumes.nestMm3, 20 * 20 * 5);
    expectAddsUp(made);
  });

  it('its mirror beds the other half', async () => {
    const cone = s.asPattern(s.translate(s.blockWithRoundPocket(40, 20, 8, 6, 5, 32), [0, 0, -8]));
    const [cope, drag] = await Promise.all(
      (['cope', 'drag'] as const).map((beds) => solids.followBoard(cone, Z, { joint: middle, beds, clearance: 0 })),
    );
    for (const made of [cope, drag]) expectAddsUp(made);
    expectNear(cope.volumes.nestMm3 + drag.volumes.nestMm3, s.volumeOf(cone), 0.2);
    expect(s.boundsOf(drag.board).max[2]).toBeCloseTo(0, 4);
    expect(s.boundsOf(drag.board).min[2]).toBeCloseTo(-8 - 6, 2);
    expect(await shared(cone, drag.board)).toBeLessThan(0.01);
  });

  it('fits the flask, and says where little board is left', async () => {
    const made = await solids.followBoard(ball, Z, { joint: middle, flask: { length: 120, width: 44 } });
    expect(made.size[0]).toBeCloseTo(119, 2);
    expect(made.size[1]).toBeCloseTo(43, 2);
    expect(made.findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['thin-board', 'warning'],
      ['thin-wall', 'warning'],
    ]);
  });

  it('follows a free-form joint: its face lies on it', async () => {
    const n = 33;
    const heights = Float64Array.from({ length: n * n }, (_, k) => 4 * Math.sin((k % n) / 6));
    const grid = { origin: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0], column: 4, nu: n, nv: n, u0: -64, v0: -64 } as const;
    const joint: Joint = { kind: 'surface', ...grid, heights };
    for (const beds of ['cope', 'drag'] as const) {
      const made = await solids.followBoard(ball, Z, { joint, beds, margin: 20 });
      expectAddsUp(made);
      const { positions } = made.board;
      let onFace = 0;
      for (let i = 0; i < positions.length; i += 3) {
        const [x, y, z] = positions.subarray(i, i + 3);
        if (Math.hypot(x, y) < 22 || Math.abs(z) > 4.01) continue;
        // Straight between nodes, level across v: the height along x alone.
        const f = (x + 64) / 4;
        const k = Math.min(n - 2, Math.floor(f));
        const h = heights[k] + (f - k) * (heights[k + 1] - heights[k]);
        if (Math.abs(z - h) < 1e-3) onFace++;
        else expect.fail(`a corner at ${x}, ${y} lies ${z - h} off the joint`);
      }
      expect(onFace).toBeGreaterThan(100);
    }
  });

  it('hollowed it saves plastic and keeps its wall', async () => {
    const solid = await solids.followBoard(ball, Z, { joint: middle });
    const made = await solids.followBoard(ball, Z, { joint: middle, hollow: { wall: 4, ribs: 0 } });
    const ribbed = await solids.followBoard(ball, Z, { joint: middle, hollow: { wall: 4, ribs: 30 } });
    for (const each of [made, ribbed]) expectAddsUp(each);
    expect(made.volumes.boardMm3).toBeLessThan(0.6 * solid.volumes.boardMm3);
    expect(ribbed.volumes.boardMm3).toBeGreaterThan(made.volumes.boardMm3);
    // 3.9 mm of wall everywhere: the nest moved so far any way does not reach the hollow.
    for (const by of [
      [0, 0, 3.9],
      [3.5, 0, 0],
      [0, -3.5, 0],
      [2, 2, 2],
    ] as const) {
      const moved = await shared(solid.board, ball, by);
      expectNear(await shared(made.board, ball, by), moved, 0.002);
    }
  });

  it('is cut to the bed with keys', async () => {
    const made = await solids.followBoard(ball, Z, {
      joint: middle,
      flask: { length: 200, width: 100 },
      bed: { length: 120, width: 120, height: 100 },
    });
    expect(made.pieces).toHaveLength(2);
    expect(made.keys.length).toBeGreaterThan(0);
    for (const piece of made.pieces) soundVolume(piece);
  });
});
