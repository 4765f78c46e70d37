import { describe, expect, it } from 'vitest';
import { crestEdges } from '../../packages/solids/src/crest-edges.js';
import { outermostTips, withoutCovered, type Tip } from '../../packages/solids/src/cover-tips.js';
import type { FramedMesh } from '../../packages/solids/src/draw-frame.js';
import * as s from '../helpers/shapes.js';
import { rescan } from '../helpers/scans.js';

const TAN = Math.tan((5 * Math.PI) / 180);

function framed({ positions, triangles }: s.Mesh): FramedMesh {
  const box = s.boundsOf({ positions, triangles }) as unknown;
  return { points: Float32Array.from(positions), triangles, box: box as FramedMesh['box'], rounding: 1e-6 };
}
const all = (): boolean => true;

describe('crestEdges', () => {
  it('of a box, however fine, are those round its top, and round its foot for the drag', () => {
    for (const n of [1, 6]) {
      const block = rescan(s.box([0, 0, 0], [20, 10, 8]), n, 0, 1);
      const mesh = framed(block);
      for (const [way, z] of [
        [1, 8],
        [-1, 0],
      ] as const) {
        const { edges, faces } = crestEdges(mesh, TAN, way, all);
        let round = 0;
        for (let k = 0; k < edges.length; k += 2) {
          const [a, b] = [3 * edges[k], 3 * edges[k + 1]];
          const [low, high] = [mesh.points[a + 2], mesh.points[b + 2]];
          if (low === z && high === z)
            round += Math.hypot(mesh.points[a] - mesh.points[b], mesh.points[a + 1] - mesh.points[b + 1]);
          // Upright edges rise along themselves, which is in doubt; anything else slants over a face and must not be here.
          else expect([mesh.points[a], mesh.points[a + 1]]).toEqual([mesh.points[b], mesh.points[b + 1]]);
        }
        expect(round).toBeCloseTo(2 * (20 + 10), 4);
        // The far end hangs over: it faces the other way.
        expect(faces.length).toBe(2 * n * n);
      }
    }
  });

  it('of a ball are a ring where it gets too steep, not all the faces below', () => {
    const mesh = framed(s.sphere(20, 5));
    const { edges } = crestEdges(mesh, TAN, 1, (t) => mesh.points[3 * mesh.triangles[3 * t] + 2] > -1);
    expect(edges.length / 2).toBeLessThan(400);
    for (const corner of edges)
      expect(Math.abs(mesh.points[3 * corner + 2] - 20 * Math.sin(Math.atan(TAN)))).toBeLessThan(2.5);
  });

  it('from any corner of a steep face an edge is reached by going up: every one hangs in a cone of the crest (seed 5)', () => {
    // A wavy hill: steep faces in all ways, ridges and gullies.
    const hill = s.roughen(rescan(s.frustum(12, 10, 30, 24), 6, 0, 1), 0.4, 5);
    const mesh = framed(hill);
    const { edges, faces } = crestEdges(mesh, TAN, 1, all);
    const tipOf = (corner: number): Tip => [
      mesh.points[3 * corner],
      mesh.points[3 * corner + 1],
      mesh.points[3 * corner + 2],
    ];
    const tips = new Set([...edges, ...[...faces].flatMap((t) => [...mesh.triangles.subarray(3 * t, 3 * t + 3)])]);
    // Points on the crest, ends and four between, so that what hangs from an edge is found as well.
    const crest: Tip[] = [...tips].map(tipOf);
    for (let k = 0; k < edges.length; k += 2) {
      const [a, b] = [tipOf(edges[k]), tipOf(edges[k + 1])];
      for (const f of [0.2, 0.4, 0.6, 0.8]) crest.push([0, 1, 2].map((n) => a[n] + f * (b[n] - a[n])) as Tip);
    }
    let looked = 0;
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      const [a, b, c] = [0, 1, 2].map((n) => tipOf(mesh.triangles[t + n]));
      const middle = [0, 1, 2].map((n) => (a[n] + b[n] + c[n]) / 3) as Tip;
      const [u, v] = [b.map((x, n) => x - a[n]), c.map((x, n) => x - a[n])];
      const normal = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
      const sine = normal[2] / Math.hypot(...normal);
      if (sine >= Math.sin(Math.atan(TAN)) || sine < -Math.sin(Math.atan(TAN))) continue;
      looked++;
      // Within the spacing of points on the crest, across the draw.
      const held = crest.some(
        (tip) => Math.hypot(tip[0] - middle[0], tip[1] - middle[1]) <= (tip[2] - middle[2]) * TAN + 0.25,
      );
      expect(held, `${middle}`).toBe(true);
    }
    expect(looked).toBeGreaterThan(200);
  });
});

describe('covered tips', () => {
  it('go where one tip of another list holds them all, and only there (seed 11)', () => {
    const random = s.seededRandom(11);
    const point = (): Tip => [20 * random(), 20 * random(), 30 * random()];
    for (const way of [1, -1] as const) {
      const lists = Array.from({ length: 400 }, (): Tip[] => {
        const tip = point();
        return [tip, [tip[0] + random(), tip[1] + random(), tip[2] + random()]];
      });
      const kept = withoutCovered(lists, TAN, way);
      const holds = (by: Tip, tip: Tip): boolean =>
        Math.hypot(by[0] - tip[0], by[1] - tip[1]) <= way * (by[2] - tip[2]) * TAN;
      // By comparing each with each.
      const free = lists.filter(
        (tips) => !lists.some((others) => others !== tips && others.some((by) => tips.every((tip) => holds(by, tip)))),
      );
      expect(kept).toEqual(free);
      expect(free.length).toBeLessThan(399);
      expect(free.length).toBeGreaterThan(50);
    }
  });

  it('of two alike one stays', () => {
    const tip: Tip = [1, 2, 3];
    expect(withoutCovered([[tip], [[...tip]], [tip, [2, 2, 3]]], TAN, 1)).toEqual([[tip, [2, 2, 3]]]);
    expect(outermostTips([tip, [...tip]], TAN, 1)).toHaveLength(1);
    expect(outermostTips([tip, [1, 2, 0], [1.2, 2, 0]], TAN, 1)).toEqual([tip]);
    expect(withoutCovered([], TAN, 1)).toEqual([]);
  });
});
