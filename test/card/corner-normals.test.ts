import { describe, expect, it } from 'vitest';
import { cornerNormals } from '../../packages/card/src/corner-normals.js';
import { box, rotate, sphere, type Mesh } from '../helpers/shapes.js';

function eachCorner(mesh: Mesh, see: (normal: number[], place: number[], triangle: number) => void): void {
  const normals = cornerNormals(mesh.positions, mesh.triangles);
  expect(normals.length).toBe(mesh.triangles.length * 3);
  for (let i = 0; i < mesh.triangles.length; i++) {
    const place = [...mesh.positions.subarray(mesh.triangles[i] * 3, mesh.triangles[i] * 3 + 3)];
    see([...normals.subarray(i * 3, i * 3 + 3)], place, Math.floor(i / 3));
  }
}

describe('cornerNormals', () => {
  it('stays sharp on a box: each corner keeps its own face’s normal', () => {
    eachCorner(box(), (normal) => {
      expect(normal.filter((part) => Math.abs(Math.abs(part) - 1) < 1e-6)).toHaveLength(1);
      expect(normal.filter((part) => part === 0)).toHaveLength(2);
    });
  });

  it('is smooth on a sphere: it points from the centre', () => {
    eachCorner(rotate(sphere(10, 4), [1, 1, 2], 20), (normal, place) => {
      const along = normal.reduce((sum, part, k) => sum + (part * place[k]) / 10, 0);
      expect(along).toBeGreaterThan(0.9995);
    });
  });

  it('gives zeros for a triangle without area, and never anything but a unit vector otherwise', () => {
    const positions = Float64Array.from([0, 0, 0, 1, 0, 0, 2, 0, 0, 0, 1, 0]);
    const normals = cornerNormals(positions, Uint32Array.from([0, 1, 2, 0, 1, 3]));
    expect([...normals.subarray(0, 9)]).toEqual(Array(9).fill(0));
    for (let i = 9; i < 18; i += 3) expect([...normals.subarray(i, i + 3)]).toEqual([0, 0, 1]);
  });
});
