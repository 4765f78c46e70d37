import { isOddsideError } from '@oddside/core';
import { WRITABLE_FORMATS, decodePattern, encodePattern, inspectPattern, measurePattern } from '@oddside/pattern';
import { fromBufferGeometry, toBufferGeometry } from '@oddside/pattern/three';
import { BoxGeometry, BufferGeometry } from 'three';
import { describe, expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { asPattern, box, hollowCube, rotate, scale, torus, translate, type Mesh } from '../helpers/shapes.js';

const meshes: readonly (readonly [string, Mesh])[] = [
  ['box', rotate(box([0, 0, 0], [100, 20, 30]), [1, 2, 3], 33)],
  ['ring', torus(60, 20)],
  ['hollow cube', scale(hollowCube(), 40)],
  ['hare', scale(bunnyMesh(), 15)],
];

describe.each(WRITABLE_FORMATS.map((format) => [format] as const))('%s', (format) => {
  test.each(meshes)('%s comes back as it went', (_, mesh) => {
    const pattern = asPattern(mesh, 'lamp <bracket> & "more"');
    const bytes = encodePattern(pattern, format);
    const back = decodePattern(bytes, format === '3mf' || format === 'glb' ? {} : { unit: 'mm' });
    expect(back.findings).toEqual([]);
    expect(back.unit.from).toBe(format === '3mf' || format === 'glb' ? 'file' : 'caller');
    expect(inspectPattern(back)).toMatchObject({
      closed: true,
      consistent: true,
      triangles: mesh.triangles.length / 3,
    });
    const [ours, theirs] = [measurePattern(back), measurePattern(pattern)];
    const exact = format === 'obj' || format === 'ply' || format === '3mf';
    expect(ours.volumeMm3 / theirs.volumeMm3).toBeCloseTo(1, exact ? 14 : 5);
    for (const k of [0, 1, 2]) expect(ours.bounds.max[k]).toBeCloseTo(theirs.bounds.max[k], exact ? 12 : 4);
    let off = 0;
    for (let i = 0; i < mesh.triangles.length; i++) {
      for (let k = 0; k < 3; k++) {
        const there = back.positions[back.triangles[i] * 3 + k];
        off = Math.max(off, Math.abs(there - mesh.positions[mesh.triangles[i] * 3 + k]));
      }
    }
    expect(off).toBeLessThan(exact ? 1e-12 : 1e-5);
    expect(encodePattern(pattern, format)).toEqual(bytes);
  });
});

test('a GLB far from the origin loses no more than one near it', () => {
  const far = asPattern(translate(torus(60, 20), [1e6, 0, 0]));
  const back = decodePattern(encodePattern(far, 'glb'));
  expect(measurePattern(back).volumeMm3 / measurePattern(far).volumeMm3).toBeCloseTo(1, 5);
});

test('a 3MF says its name and unit', () => {
  const { name, unit } = decodePattern(encodePattern(asPattern(box([0, 0, 0], [9, 9, 9]), 'a & b'), '3mf'));
  expect({ name, unit }).toEqual({ name: 'a & b', unit: { name: 'mm', from: 'file' } });
});

test('an unknown format is refused with the known ones', () => {
  try {
    encodePattern(asPattern(box()), 'step' as 'stl');
    expect.unreachable();
  } catch (error) {
    expect(isOddsideError(error) && error.code).toBe('unknown-format');
    expect((error as Error).message).toMatch(/stl, obj, ply, 3mf, glb/);
  }
});

describe('three', () => {
  test('there and back', () => {
    const pattern = asPattern(torus(60, 20), 'ring');
    const geometry = toBufferGeometry(pattern);
    const back = fromBufferGeometry(geometry, { unit: 'mm' });
    expect(back.name).toBe('ring');
    expect(inspectPattern(back)).toMatchObject({ closed: true, triangles: pattern.triangles.length / 3 });
    expect(measurePattern(back).volumeMm3 / measurePattern(pattern).volumeMm3).toBeCloseTo(1, 5);
  });

  test("three's own box, indexed and not, in inches", () => {
    for (const geometry of [new BoxGeometry(1, 2, 3), new BoxGeometry(1, 2, 3).toNonIndexed()]) {
      const pattern = fromBufferGeometry(geometry, { unit: 'inch', name: 'box' });
      expect(measurePattern(pattern).volumeMm3).toBeCloseTo(6 * 25.4 ** 3, 6);
      expect(inspectPattern(pattern)).toMatchObject({ closed: true, vertices: 8 });
    }
    expect(fromBufferGeometry(new BoxGeometry()).unit).toEqual({ name: 'mm', from: 'assumed' });
    expect(() => fromBufferGeometry(new BufferGeometry())).toThrow(/none that can be used/);
  });
});
