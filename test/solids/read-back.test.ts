/** What is made must survive its own file: rounded to 32 bits, taken apart into facets, and welded again. */
import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { decodePattern, encodePattern, inspectPattern, mendPattern, type Pattern } from '@oddside/pattern';
import { openSolids } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';
import { expectNear } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];

async function expectReadsBack(made: Pattern): Promise<void> {
  const read = decodePattern(encodePattern(made, 'stl'), { unit: 'mm' });
  const { pattern } = await mendPattern(read, { fill: false, debris: 0, orient: false });
  expect(inspectPattern(pattern), made.name).toMatchObject({
    closed: true,
    consistent: true,
    openEdges: 0,
    nonManifoldEdges: 0,
  });
  expectNear(s.volumeOf(pattern), s.volumeOf(made), 1e-4, made.name);
}

describe('halves and boards read back from STL', () => {
  it.each<[string, s.Mesh, Vec3]>([
    ['ball', s.sphere(40, 3), Z],
    ['stairs', s.scale(s.pinnedStairs(), 20), Z],
    ['ring askew', s.torus(60, 20, 48, 24), [0.1, 0.05, 1]],
    ['trefoil', s.scale(s.trefoil(0.35, 120, 16), 20), Z],
    ['bored block askew', s.scale(s.blockWithRoundPocket(6, 3, 1, 1, 2, 24), 10), [0.3, 0, 1]],
    ['hare', s.scale(bunnyMesh(), 10), [0.02, 0.31, 0.95]],
  ])('%s', async (_, mesh, draw) => {
    const pattern = s.asPattern(mesh);
    const joint = { kind: 'level', height: assessDraw(pattern, draw).flat.height } as const;
    const split = await solids.splitPattern(pattern, draw, { joint });
    for (const half of [split.cope, split.drag]) if (half) await expectReadsBack(half);
    const { board } = await solids.followBoard(pattern, draw, { joint });
    await expectReadsBack(board);
  });
});
