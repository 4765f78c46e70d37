import { describe, expect, test } from 'vitest';
import { ClosestPoint } from '../../packages/pattern/src/closest-point.js';
import { NearSurface } from '../../packages/pattern/src/near-surface.js';
import { buildTriangleTree } from '../../packages/pattern/src/triangle-tree.js';
import { bunnyMesh } from '../helpers/scans.js';
import { box, merge, sphere, translate, type Mesh } from '../helpers/shapes.js';

/** A bound for one triangle given by its corners. */
function boundOf(surface: Mesh, corners: number[], limit: number): number {
  return new NearSurface(surface.positions, surface.triangles).bound(Float64Array.from(corners), 0, 1, 2, limit);
}

/** A square of n × n cells of side 1 in the plane z = 0, each cut in two, with heights. */
function sheet(n: number, height: (x: number, y: number) => number = () => 0, leaveOut = -1): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let y = 0; y <= n; y++) for (let x = 0; x <= n; x++) positions.push(x, y, height(x, y));
  for (let y = 0; y < n; y++) {
    for (let x = 0; x < n; x++) {
      const a = y * (n + 1) + x;
      if (x + y * n !== leaveOut) triangles.push(a, a + 1, a + n + 2, a, a + n + 2, a + n + 1);
    }
  }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
}

const LARGE = [1, 1, 0.05, 19, 1, 0.05, 1, 19, 0.05];

describe('bound of a triangle from a surface', () => {
  test('over one triangle, exactly', () => {
    const one = sheet(1);
    expect(boundOf(one, [0.6, 0.1, 0.3, 0.9, 0.1, 0.1, 0.9, 0.5, 0.2], 0.5)).toBeCloseTo(0.3, 12);
    expect(boundOf(one, [0.6, 0.1, 0.3, 0.9, 0.1, 0.1, 0.9, 0.5, 0.2], 0.29)).toBe(Infinity);
  });

  test('over many small triangles, as their height and hardly more', () => {
    expect(boundOf(sheet(20), LARGE, 0.1)).toBeGreaterThanOrEqual(0.05);
    expect(boundOf(sheet(20), LARGE, 0.1)).toBeLessThan(0.052);
    expect(boundOf(sheet(20), LARGE, 0.04)).toBe(Infinity);
  });

  test('a hole, a bump and a dent under the middle are seen, though every corner is near', () => {
    expect(boundOf(sheet(20, undefined, 5 + 5 * 20), LARGE, 0.1)).toBe(Infinity);
    const bump = (x: number, y: number): number => (x === 6 && y === 6 ? 2 : 0);
    expect(boundOf(sheet(20, bump), LARGE, 0.1)).toBe(Infinity);
    expect(
      boundOf(
        sheet(20, (x, y) => -bump(x, y)),
        LARGE,
        0.1,
      ),
    ).toBe(Infinity);
    // A small hole narrower than the limit does not matter: its edge is near.
    expect(boundOf(sheet(20, undefined, 5 + 5 * 20), LARGE, 0.8)).toBeLessThanOrEqual(0.8);
  });

  test('what lies beyond the triangle does not count', () => {
    // Steps down right beside the triangle, as over the edge of a box.
    const edge = sheet(20, (x) => (x > 19 ? -5 * (x - 19) : 0));
    expect(boundOf(edge, LARGE, 0.1)).toBeLessThan(0.06);
    const face = box([0, 0, 0], [10, 20, 30]);
    expect(boundOf(face, [0, 0, 30.05, 10, 0, 30.05, 0, 20, 30.05], 0.1)).toBeLessThan(0.06);
  });

  test('is never below the distance of any point, and near it on scans', () => {
    const hare = bunnyMesh();
    const target = merge(sphere(1, 1), translate(hare, [0.01, 0.02, -0.005]));
    const surface = new NearSurface(target.positions, target.triangles);
    const closest = new ClosestPoint(target.positions, target.triangles, buildTriangleTree(target.positions, target.triangles)); // prettier-ignore
    const { positions, triangles } = hare;
    let known = 0;
    for (let t = 0; t < triangles.length; t += 33) {
      const corners = [triangles[t], triangles[t + 1], triangles[t + 2]];
      const bound = surface.bound(positions, corners[0], corners[1], corners[2], 0.03);
      let farthest = 0;
      for (const [u, v] of [
        [0, 0],
        [1, 0],
        [0, 1],
        [0.3, 0.3],
        [0.5, 0.5],
        [0.1, 0.8],
        [0.6, 0.2],
      ]) {
        const [x, y, z] = [0, 1, 2].map((k) => (1 - u - v) * positions[corners[0] * 3 + k] + u * positions[corners[1] * 3 + k] + v * positions[corners[2] * 3 + k]); // prettier-ignore
        closest.find(x, y, z);
        farthest = Math.max(farthest, Math.sqrt(closest.square));
      }
      expect(bound).toBeGreaterThanOrEqual(farthest * (1 - 1e-12));
      // Moved by 0.0229 in all: every triangle can be shown to be within 0.03.
      expect(bound).toBeLessThanOrEqual(0.03);
      known++;
    }
    expect(known).toBeGreaterThan(100);
  });
});
