/** The signed column pass against rays through three-mesh-bvh in the same columns, and volumes against manifold-3d. */
import Module from 'manifold-3d';
import { describe, expect, it } from 'vitest';
import { castColumns, CELL_BOTTOM, CELL_STRIDE, CELL_TOP, sumColumns } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { hitColumns, treeOf } from '../helpers/hit-columns.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const random = s.seededRandom(5);
const draws: readonly Vec3[] = [
  [0, 0, 1],
  [0, 1, 0],
  [1, 2, 3],
  ...[1, 2, 3].map(() => s.randomDirection(random) as Vec3),
];
const solids: readonly [string, s.Mesh, number][] = [
  ['hare', bunnyMesh(), 96],
  ['mug', s.blockyMug(), 64],
  ['ring', s.torus(1, 0.4, 64, 32), 64],
  ['trefoil', s.trefoil(0.35, 160, 16), 64],
  ['pocketed block', s.blockWithRoundPocket(4, 2, 0.8, 0.6, 1), 64],
];

describe.each(solids)('%s', (_name, mesh, columns) => {
  it('columns and rays see the same', () => {
    for (const draw of draws) {
      const field = castColumns(s.asPattern(mesh), draw, columns);
      const sums = sumColumns(field);
      const rays = hitColumns(treeOf(mesh, field.origin), field);
      // Rays lose a column now and then on an edge or along a wall; ours loses none.
      expect(rays.unpaired).toBeLessThan(0.005 * sums.hitColumns);
      const area = field.column ** 2;
      const height = field.highest - field.lowest;
      const allowed = rays.unpaired * height * area + 1e-9 * sums.solidMm3;
      expect(Math.abs(rays.backDraftMm3 - sums.backDraftMm3)).toBeLessThanOrEqual(allowed);
      expect(Math.abs(rays.envelopeMm3 - sums.envelopeMm3)).toBeLessThanOrEqual(allowed);
      expect(Math.abs(rays.solidMm3 - sums.solidMm3)).toBeLessThanOrEqual(allowed);
      expect(Math.abs(rays.shadowColumns * area - sums.shadowAreaMm2)).toBeLessThanOrEqual(rays.unpaired * area + 1e-9);
      let worst = 0;
      for (let i = 0; i < rays.tops.length; i++) {
        if (Number.isNaN(rays.tops[i])) continue;
        worst = Math.max(worst, Math.abs(field.cells[i * CELL_STRIDE + CELL_TOP] - rays.tops[i]));
        worst = Math.max(worst, Math.abs(field.cells[i * CELL_STRIDE + CELL_BOTTOM] - rays.bottoms[i]));
      }
      expect(worst).toBeLessThan(1e-7 * height);
    }
  });
});

describe('against manifold-3d', () => {
  it("the metal in the columns comes to the solid's volume", async () => {
    const kernel = await Module();
    kernel.setup();
    const { Manifold, Mesh } = kernel;
    for (const [name, mesh] of solids) {
      const solid = new Manifold(
        new Mesh({ numProp: 3, vertProperties: Float32Array.from(mesh.positions), triVerts: mesh.triangles.slice() }),
      );
      const volume = solid.volume();
      solid.delete();
      const seen = sumColumns(castColumns(s.asPattern(mesh), [0.2, 0.5, 0.7], 512)).solidMm3;
      expect(Math.abs(seen / volume - 1), name).toBeLessThan(5e-4);
    }
  });
});
