import { describe, expect, it } from 'vitest';
import * as fc from 'fast-check';
import {
  castColumns,
  findFlatJoint,
  makeScratch,
  sumColumns,
  type CastScratch,
  type ColumnField,
} from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { UPWARD } from '../../packages/parting/src/column-field.js';
import { tallyPlainly } from '../../packages/parting/src/tally-columns.js';
import type { Mesh } from '../helpers/mesh.js';
import * as s from '../helpers/shapes.js';
import { bunnyMesh } from '../helpers/scans.js';

const SEED = 20261128;

/** A mesh without every n-th of its triangles: columns through the holes do not pair up. */
const torn = (mesh: Mesh, n: number): Mesh => s.keepTriangles(mesh, (triangle) => triangle % n !== 0);

const SHEET = { positions: Float64Array.of(0, 0, 0, 3, 0, 1, 0, 2, 1), triangles: Uint32Array.of(0, 1, 2) };

describe('the tally of a cast in the kernel', () => {
  it(`is that of the plain functions, bit for bit: solids whole, torn, overlapping and flat (seed ${SEED})`, () => {
    const overlapping = s.merge(s.box([0, 0, 0], [2, 2, 2]), s.box([1, 1, 1], [3, 3, 3]));
    const whole = [s.box(), s.torus(10, 4, 31, 17), s.pinnedStairs(), bunnyMesh(), s.spiralStair(8), overlapping];
    const meshes = [...whole, torn(bunnyMesh(), 9), torn(s.torus(10, 4, 31, 17), 3), torn(s.box(), 5), SHEET];
    const patterns = meshes.map((mesh) => s.asPattern(mesh));
    const scratches = patterns.map((pattern) => makeScratch(pattern));
    const axis = fc.constantFrom(-1, 0, 1, 0.5);
    const any = fc.double({ min: -1, max: 1, noNaN: true });
    const draw = fc
      .oneof(fc.tuple(any, any, any), fc.tuple(axis, axis, axis))
      .filter((d) => Math.hypot(...d) > 0.1) as fc.Arbitrary<Vec3>;
    const seen = { unbalanced: 0, overlap: 0, held: 0 };
    fc.assert(
      fc.property(fc.nat(meshes.length - 1), draw, fc.integer({ min: 2, max: 140 }), (which, direction, columns) => {
        const field = castColumns(patterns[which], direction, columns, scratches[which]);
        const found = scratches[which].engine.tally(field);
        expect(found).toStrictEqual({ sums: sumColumns(field), joint: findFlatJoint(field) });
        seen.unbalanced += found.sums.unbalancedColumns;
        seen.overlap += found.sums.overlapMm3;
        seen.held += found.sums.backDraftMm3;
      }),
      { seed: SEED, numRuns: 300 },
    );
    for (const much of Object.values(seen)) expect(much).toBeGreaterThan(0);
  });

  it(`is so whatever the cells hold: ties, steps, combs, few columns or none (seed ${SEED})`, () => {
    const { scratch, field } = castBox();
    const heights = fc.oneof(
      fc.record({ of: fc.constant('few' as const), values: fc.integer({ min: 1, max: 5 }) }),
      fc.record({ of: fc.constant('ramp' as const), values: fc.integer({ min: 2, max: 5000 }) }),
      // As far apart as the ends that are looked at first, which then tell nothing of the others.
      fc.record({ of: fc.constant('comb' as const), values: fc.integer({ min: 2, max: 400 }) }),
      fc.record({ of: fc.constant('any' as const), values: fc.constant(1) }),
    );
    const hit = fc.oneof(fc.nat(40), fc.nat(field.cells.length / 4));
    fc.assert(
      fc.property(heights, hit, fc.integer({ min: 1, max: 2 ** 30 }), ({ of, values }, count, seed) => {
        const random = s.seededRandom(seed);
        const height = {
          few: () => Math.floor(random() * values),
          ramp: (i: number) => i % values,
          comb: (i: number) => (i % values === 0 ? 100 + random() : random()),
          any: () => random() - 0.5,
        }[of];
        fillCells(field.cells, count, height, random);
        expect(scratch.engine.tally(field)).toStrictEqual(tallyPlainly(field));
      }),
      { seed: SEED, numRuns: 400 },
    );
  });

  it('of a field cast earlier is still its own', () => {
    const { scratch, field } = castBox();
    const earlier = { ...field, cells: field.cells.slice() };
    const expected = tallyPlainly(earlier);
    castColumns(scratch.pattern, [1, 2, 3], 90, scratch);
    expect(scratch.engine.tally(earlier)).toStrictEqual(expected);
  });
});

function castBox(): { scratch: CastScratch & { pattern: ReturnType<typeof s.asPattern> }; field: ColumnField } {
  const pattern = s.asPattern(s.box());
  const scratch = { ...makeScratch(pattern), pattern };
  return { scratch, field: castColumns(pattern, [0.1, 0.2, 1], 64, scratch) };
}

/** Lays columns of made-up ends over the first so many cells, with gaps between, and empties the others. */
function fillCells(cells: Float64Array, count: number, height: (i: number) => number, random: () => number): void {
  for (let i = 0, laid = 0; i < cells.length; i += 4) {
    const left = (cells.length - i) / 4;
    if (random() * left >= count - laid) {
      cells.set([-Infinity, Infinity, 0, 0], i);
      continue;
    }
    const [a, b] = [height(2 * laid), height(2 * laid + 1)];
    const [top, bottom] = [Math.max(a, b), Math.min(a, b)];
    const upward = Math.floor(random() * 3) + 1;
    const off = random() < 0.1 ? Math.floor(random() * 5) - 2 : 0;
    // Half of them hold sand, a few overlap.
    const metal = random() < 0.5 ? top - bottom : (top - bottom) * random() * 1.2;
    cells.set([top, bottom, metal, upward * UPWARD + off], i);
    laid++;
  }
}
