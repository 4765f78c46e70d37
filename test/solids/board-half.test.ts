import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids, type Joint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { drawFoot } from '../../packages/solids/src/board-half.js';
import * as s from '../helpers/shapes.js';
import { expectNear } from './solid-checks.js';

const level = (height: number): Joint => ({ kind: 'level', height });

describe('the half that beds in a board', () => {
  it.each<[string, s.Mesh, Vec3]>([
    ['ball', s.sphere(40, 3), [0, 0, 1]],
    ['ring askew', s.torus(60, 20, 48, 24), [0.1, 0.05, 1]],
    ['trefoil', s.scale(s.trefoil(0.35, 120, 16), 20), [0, 0, 1]],
  ])('%s: the board is the same whether or not the pattern was split before', async (_, mesh, draw) => {
    const pattern = s.asPattern(mesh);
    const joint = level(assessDraw(pattern, draw).flat.height);
    const solids = await openSolids();
    const fresh = await solids.followBoard(pattern, draw, { joint });
    await solids.splitPattern(pattern, draw, { joint });
    const after = await solids.followBoard(pattern, draw, { joint });
    expect(after.volumes).toEqual(fresh.volumes);
    expect(after.board).toEqual(fresh.board);
    // Another joint, the other way, other halves: none of them is the one that was kept.
    const other = await solids.followBoard(pattern, draw, {
      joint: level(joint.kind === 'level' ? joint.height + 1 : 0),
    });
    expect(other.volumes.nestMm3).not.toBeCloseTo(fresh.volumes.nestMm3, 0);
  });

  it('is made anew where the pattern was written into since it was split', async () => {
    const pattern = s.asPattern(s.sphere(20, 3));
    const solids = await openSolids();
    await solids.splitPattern(pattern, [0, 0, 1], { joint: level(0) });
    for (let i = 0; i < pattern.positions.length; i++) pattern.positions[i] *= 1.5;
    const { volumes } = await solids.followBoard(pattern, [0, 0, 1], { joint: level(0) });
    const fresh = await solids.followBoard(s.asPattern(s.scale(s.sphere(20, 3), 1.5)), [0, 0, 1], { joint: level(0) });
    expectNear(volumes.nestMm3, fresh.volumes.nestMm3, 1e-6);
  });

  it('its foot is drawn straight down, holes and all', () => {
    const { positions, triangles } = s.torus(10, 4, 48, 24);
    // What of a ring lies over its middle plane, stood on that plane by flattening what lies under it.
    const flat = { positions: positions.map((x, i) => (i % 3 === 2 ? Math.max(0, x) : x)), triangles };
    const { drawn, addedMm3 } = drawFoot({ points: Float32Array.from(flat.positions), triangles }, 0, 2);
    const after = { positions: Float64Array.from(drawn.points), triangles: drawn.triangles };
    expect(s.edgesOf(after)).toMatchObject({ unbalanced: 0 });
    expectNear(s.volumeOf(after) - s.volumeOf(flat), addedMm3, 1e-5);
    const polygon = (r: number): number => 24 * r * r * Math.sin(Math.PI / 24);
    expectNear(addedMm3, 2 * (polygon(14) - polygon(6)), 1e-5);
  });
});
