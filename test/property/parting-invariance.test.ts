/** What may not change a result, or must change it in a known way. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { castColumns, findFlatJoint, imbalance } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { assess, trappedAt } from '../parting/cast-oracle.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const solids: readonly [string, s.Mesh][] = [
  ['hare', bunnyMesh()],
  ['mug', s.blockyMug()],
  ['lipped channel', s.lippedChannel(2)],
  ['ring', s.torus(1, 0.4, 48, 24)],
];
const seed = fc.integer({ min: 1, max: 1e6 });
const drawOf = (from: number): Vec3 => s.randomDirection(s.seededRandom(from)) as Vec3;
const cellsOf = (mesh: s.Mesh, draw: Vec3, columns: number): Float64Array =>
  castColumns(s.asPattern(mesh), draw, columns).cells;

describe.each(solids)('%s', (_name, mesh) => {
  const volume = s.volumeOf(mesh);
  const size = Math.cbrt(volume);

  it('turned together with its draw, gives the same within the stated error', () => {
    fc.assert(
      fc.property(seed, (from) => {
        const draw = drawOf(from);
        const { axis, deg } = s.randomRotation(from + 1);
        const here = assess(mesh, draw, 160);
        const there = assess(s.rotate(mesh, axis, deg), s.turnPoint(draw, axis, deg), 160);
        // Each error is two standard ones; twice that holds for draws chosen to break it, which a shrinking search does.
        const allowed = 2 * (here.backDraftErrorMm3 + there.backDraftErrorMm3) + 1e-9 * volume;
        expect(Math.abs(here.backDraftMm3 - there.backDraftMm3)).toBeLessThanOrEqual(allowed);
        expect(Math.abs(here.shadowAreaMm2 - there.shadowAreaMm2)).toBeLessThanOrEqual(
          2 * (here.shadowAreaErrorMm2 + there.shadowAreaErrorMm2),
        );
        expect(Math.abs(here.flat.misfitMm3 - there.flat.misfitMm3)).toBeLessThan(0.02 * volume);
      }),
      { seed: 30, numRuns: 12 },
    );
  });

  it('drawn the other way, heights change sign and volumes stay', () => {
    fc.assert(
      fc.property(seed, (from) => {
        const draw = drawOf(from);
        const up = assess(mesh, draw, 160);
        const down = assess(mesh, [-draw[0], -draw[1], -draw[2]], 160);
        const allowed = 2 * (up.backDraftErrorMm3 + down.backDraftErrorMm3) + 1e-9 * volume;
        expect(Math.abs(up.backDraftMm3 - down.backDraftMm3)).toBeLessThanOrEqual(allowed);
        expect(Math.abs(up.flat.low + down.flat.high)).toBeLessThan(0.03 * size);
        expect(Math.abs(up.flat.high + down.flat.low)).toBeLessThan(0.03 * size);
        expect(up.copeDepth + up.dragDepth).toBeCloseTo(down.copeDepth + down.dragDepth, 9);
      }),
      { seed: 31, numRuns: 12 },
    );
  });

  it('a thousand metres away, gives the same', () => {
    fc.assert(
      fc.property(seed, (from) => {
        const draw = drawOf(from);
        const here = assess(mesh, draw, 96);
        const away = assess(s.translate(mesh, [1e6, -1e6, 5e5]), draw, 96);
        expect(Math.abs(here.backDraftMm3 - away.backDraftMm3)).toBeLessThan(1e-7 * volume);
        expect(Math.abs(here.flat.misfitMm3 - away.flat.misfitMm3)).toBeLessThan(1e-7 * volume);
        const moved = 1e6 * draw[0] - 1e6 * draw[1] + 5e5 * draw[2];
        expect(Math.abs(away.flat.height - here.flat.height - moved)).toBeLessThan(1e-8 * 1e6);
      }),
      { seed: 32, numRuns: 8 },
    );
  });

  it('twice as large, gives exactly eight times; a thousand times, 1e9', () => {
    fc.assert(
      fc.property(seed, (from) => {
        const draw = drawOf(from);
        const here = assess(mesh, draw, 96);
        const twice = assess(s.scale(mesh, 2), draw, 96);
        expect(twice.backDraftMm3).toBe(8 * here.backDraftMm3);
        expect(twice.solidMm3).toBe(8 * here.solidMm3);
        expect(twice.flat.misfitMm3).toBe(8 * here.flat.misfitMm3);
        const huge = assess(s.scale(mesh, 1000), draw, 96);
        expect(Math.abs(huge.backDraftMm3 / 1e9 - here.backDraftMm3)).toBeLessThan(1e-9 * volume);
        const tiny = assess(s.scale(mesh, 0.001), draw, 96);
        expect(Math.abs(tiny.backDraftMm3 * 1e9 - here.backDraftMm3)).toBeLessThan(1e-9 * volume);
      }),
      { seed: 33, numRuns: 6 },
    );
  });

  it('whatever the order of its triangles and of their corners, gives the same to the last bit', () => {
    fc.assert(
      fc.property(seed, (from) => {
        const draw = drawOf(from);
        const cells = cellsOf(mesh, draw, 96);
        expect(cellsOf(s.shuffleTriangles(mesh, from), draw, 96)).toEqual(cells);
        expect(cellsOf(s.unweld(mesh), draw, 96)).toEqual(cells);
      }),
      { seed: 34, numRuns: 6 },
    );
  });

  it('surfaces pair up in every column, and no flat joint traps less than the back draft', () => {
    fc.assert(
      fc.property(seed, fc.integer({ min: 2, max: 200 }), (from, columns) => {
        const draw = drawOf(from);
        const field = castColumns(s.asPattern(mesh), draw, columns);
        for (let i = 3; i < field.cells.length; i += 4) expect(imbalance(field.cells[i])).toBe(0);
        const joint = findFlatJoint(field);
        expect(joint.misfitMm3).toBeGreaterThanOrEqual(0);
        const found = assess(mesh, draw, columns);
        const trapped = trappedAt(mesh, draw, columns);
        for (const share of [-0.5, 0, 0.2, 0.5, 1]) {
          const h = found.flat.height + share * found.copeDepth;
          expect(trapped(h)).toBeGreaterThanOrEqual(found.backDraftMm3 + found.flat.misfitMm3 - 1e-9 * volume);
        }
      }),
      { seed: 35, numRuns: 20 },
    );
  });
});
