import { describe, expect, it } from 'vitest';
import * as fc from 'fast-check';
import { castColumns, makeScratch } from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import { CAST_KERNEL_BYTES } from '../../packages/parting/src/cast-kernel-bytes.js';
import { openCastKernel } from '../../packages/parting/src/cast-kernel.js';
import { compileKernel } from '../../packages/parting/build-kernel.mjs';
import * as s from '../helpers/shapes.js';
import { bunnyMesh } from '../helpers/scans.js';

const SEED = 20261127;

describe('the kernel of the cast', () => {
  it('is the one its source gives (if not: node packages/parting/build-kernel.mjs)', async () => {
    expect(Buffer.from(await compileKernel('cast')).toString('base64')).toBe(CAST_KERNEL_BYTES);
  });

  it('is there on this platform, so that what follows compares two things', () => {
    const { positions, triangles } = s.asPattern(s.box());
    expect(openCastKernel(positions, triangles)).not.toBeNull();
    expect(openCastKernel(new Float64Array(0), new Uint32Array(0))).toBeNull();
  });

  it(`gives the same cells as the plain pass, bit for bit (seed ${SEED})`, () => {
    const meshes = [s.box(), s.torus(10, 4, 31, 17), s.pinnedStairs(), bunnyMesh(), s.spiralStair(8)];
    const patterns = meshes.map((mesh) => s.asPattern(mesh));
    const scratches = patterns.map((pattern) => makeScratch(pattern));
    const axis = fc.constantFrom(-1, 0, 1, 0.5);
    const any = fc.double({ min: -1, max: 1, noNaN: true });
    const draw = fc
      .oneof(fc.tuple(any, any, any), fc.tuple(axis, axis, axis))
      .filter((d) => Math.hypot(...d) > 0.1) as fc.Arbitrary<Vec3>;
    fc.assert(
      fc.property(fc.nat(meshes.length - 1), draw, fc.integer({ min: 2, max: 160 }), (which, direction, columns) => {
        const { cells, ...rest } = castColumns(patterns[which], direction, columns, scratches[which]);
        const { cells: plainCells, ...plainRest } = castColumns(patterns[which], direction, columns);
        expect(rest).toEqual(plainRest);
        expect(firstDifference(cells, plainCells)).toBe(-1);
      }),
      { seed: SEED, numRuns: 120 },
    );
  });

  it('fills a triangle that crosses more rows than its list holds', () => {
    const pattern = s.asPattern(s.box());
    for (const columns of [399, 1500]) {
      const plain = castColumns(pattern, [0.1, 0.2, 1], columns);
      const { cells } = castColumns(pattern, [0.1, 0.2, 1], columns, makeScratch(pattern));
      expect(firstDifference(cells, plain.cells)).toBe(-1);
    }
  });

  it('casts a finer grid after a coarser one and a coarser after a finer', () => {
    const pattern = s.asPattern(s.torus(10, 4, 60, 30));
    const scratch = makeScratch(pattern);
    for (const columns of [16, 700, 24]) {
      const { cells } = castColumns(pattern, [0.3, 0.5, 0.8], columns, scratch);
      expect(firstDifference(cells, castColumns(pattern, [0.3, 0.5, 0.8], columns).cells)).toBe(-1);
    }
  });

  it('without a kernel the scratch casts the same', () => {
    const pattern = s.asPattern(bunnyMesh());
    const { cells } = castColumns(pattern, [1, 2, 3], 64, makeScratch(pattern, { kernel: false }));
    expect(firstDifference(cells, castColumns(pattern, [1, 2, 3], 64, makeScratch(pattern)).cells)).toBe(-1);
  });

  it('refuses the scratch of another pattern', () => {
    const scratch = makeScratch(s.asPattern(s.box()));
    expect(() => castColumns(s.asPattern(s.box()), [0, 0, 1], 16, scratch)).toThrow(/another pattern/);
  });
});

const bitsOf = (cells: Float64Array): BigUint64Array => new BigUint64Array(Float64Array.from(cells).buffer);

/** The first number whose bits differ, −1 where none does: quicker than showing a million of them. */
function firstDifference(a: Float64Array, b: Float64Array): number {
  const [one, other] = [bitsOf(a), bitsOf(b)];
  return one.length === other.length ? one.findIndex((bits, i) => bits !== other[i]) : 0;
}
