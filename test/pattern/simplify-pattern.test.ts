import { inspectPattern, measurePattern, simplifyPattern, type Pattern } from '@oddside/pattern';
import { expect, test } from 'vitest';
import { ClosestPoint } from '../../packages/pattern/src/closest-point.js';
import { buildTriangleTree } from '../../packages/pattern/src/triangle-tree.js';
import { bunnyMesh, snowdenMesh } from '../helpers/scans.js';
import { asPattern, box, merge, scale, sphere, torus, translate, type Mesh } from '../helpers/shapes.js';

test('a fine ball: fewer triangles, within the distance, still closed', async () => {
  const pattern = asPattern(sphere(100, 5));
  const before = pattern.positions.slice();
  for (const [distance, share] of [
    [0.3, 0.5],
    [1, 0.35],
  ]) {
    const simple = await simplifyPattern(pattern, { distance });
    expect(simple.pattern.triangles.length).toBeLessThan(pattern.triangles.length * share);
    expect(simple.distance).toBeGreaterThan(0);
    expect(simple.distance).toBeLessThanOrEqual(distance);
    // Every corner that stayed is a corner of the ball, and its middles sink below it no further than the distance.
    const { positions, triangles } = simple.pattern;
    for (let t = 0; t < triangles.length; t += 3) {
      const middle = [0, 1, 2].map((k) =>
        [0, 1, 2].reduce((sum, c) => sum + positions[triangles[t + c] * 3 + k] / 3, 0),
      );
      expect(Math.hypot(...middle)).toBeGreaterThan(100 - 3 * distance - 0.03);
    }
    expect(inspectPattern(simple.pattern)).toMatchObject({ closed: true, consistent: true });
    const change = measurePattern(simple.pattern).volumeMm3 - measurePattern(pattern).volumeMm3;
    expect(simple.volumeChangeMm3 / change).toBeCloseTo(1, 6);
    expect(Math.abs(change) / measurePattern(pattern).areaMm2).toBeLessThan(distance);
  }
  expect(pattern.positions).toEqual(before);
});

test('a number of triangles to stop at, far from the origin', async () => {
  const far = asPattern(translate(sphere(100, 5), [1e6, 1e6, 0]));
  const { pattern } = await simplifyPattern(far, { distance: 5, triangles: 5000 });
  expect(pattern.triangles.length / 3).toBeGreaterThan(4000);
  expect(pattern.triangles.length / 3).toBeLessThan(5200);
});

test('a box cannot be had with fewer, and the hare with fewer', async () => {
  expect((await simplifyPattern(asPattern(box([0, 0, 0], [9, 9, 9])))).pattern.triangles.length).toBe(36);
  const hare = asPattern(scale(bunnyMesh(), 15));
  const simple = await simplifyPattern(hare, { distance: 1 });
  expect(simple.distance).toBeLessThanOrEqual(1);
  expect(simple.pattern.triangles.length).toBeLessThan(hare.triangles.length);
});

/** A sequence of numbers from 0 to 1 that looks random. */
function numbers(seed: number): () => number {
  let state = seed;
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
}

/** Points all over a surface: corners, and points inside triangles. */
function pointsOf({ positions, triangles }: Mesh, count: number, next: () => number): number[][] {
  return Array.from({ length: count }, (_, i) => {
    const t = Math.floor((next() * triangles.length) / 3) * 3;
    let [u, v] = i % 3 === 0 ? [0, 0] : [next(), next()];
    if (u + v > 1) [u, v] = [1 - u, 1 - v];
    const [a, b, c] = [triangles[t] * 3, triangles[t + 1] * 3, triangles[t + 2] * 3];
    return [0, 1, 2].map((k) => (1 - u - v) * positions[a + k] + u * positions[b + k] + v * positions[c + k]);
  });
}

/** The farthest of the points from a surface. */
function farthest(points: number[][], { positions, triangles }: Mesh): number {
  const closest = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
  return Math.max(...points.map(([x, y, z]) => (closest.find(x, y, z) ? Math.sqrt(closest.square) : Infinity)));
}

const dot = (a: readonly number[], b: readonly number[]): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];

/** The point as it is seen along a unit vector, laid on the plane through the origin. */
const seenAlong = (u: readonly number[], p: readonly number[]): number[] =>
  p.map((value, k) => value - dot(u, p) * u[k]);

function shadowOf(u: readonly number[], { positions, triangles }: Mesh): Mesh {
  const flat = new Float64Array(positions.length);
  for (let i = 0; i < flat.length; i += 3) flat.set(seenAlong(u, [...positions.subarray(i, i + 3)]), i);
  return { positions: flat, triangles };
}

function height(u: readonly number[], { positions }: Mesh): number {
  let highest = -Infinity;
  for (let i = 0; i < positions.length; i += 3) highest = Math.max(highest, dot(u, [...positions.subarray(i, i + 3)]));
  return highest;
}

/** The hare as a bad scan: a hole, faces turned over, faces twice, debris, and noise. */
function dirtyHare(): Mesh {
  const hare = merge(scale(bunnyMesh(), 15), translate(sphere(0.5, 1), [-200, 0, 0]));
  const next = numbers(3);
  const triangles: number[] = [];
  for (let t = 0; t < hare.triangles.length; t += 3) {
    const [a, b, c] = hare.triangles.subarray(t, t + 3);
    const chance = next();
    if (chance < 0.01) continue;
    triangles.push(a, ...(chance < 0.1 ? [c, b] : [b, c]));
    if (chance > 0.95) triangles.push(a, b, c);
  }
  const positions = hare.positions.map((value) => value + 0.05 * (next() - 0.5));
  return { positions, triangles: Uint32Array.from(triangles) };
}

test.each<[string, () => Mesh, number]>([
  ['ring', () => torus(50, 20, 80, 40), 0.5],
  ['hare', () => scale(bunnyMesh(), 15), 1],
  ['bust', () => snowdenMesh('lo'), 0.5],
  ['dirty hare', dirtyHare, 1],
])('%s: surfaces, silhouettes and heights stay within the distance both ways', async (_, make, distance) => {
  const pattern: Pattern = asPattern(make());
  const simple = await simplifyPattern(pattern, { distance });
  expect(simple.findings).toEqual([]);
  expect(simple.pattern.triangles.length).toBeLessThan(pattern.triangles.length);
  expect(simple.distance).toBeLessThanOrEqual(distance);
  const next = numbers(7);
  const limit = simple.distance * (1 + 1e-9);
  const pairs: [Mesh, Mesh][] = [
    [pattern, simple.pattern],
    [simple.pattern, pattern],
  ];
  for (const [from, to] of pairs) {
    const points = pointsOf(from, 3000, next);
    const measured = farthest(points, to);
    expect(measured).toBeLessThanOrEqual(limit);
    expect(measured).toBeGreaterThan(0);
    for (let view = 0; view < 8; view++) {
      const z = 2 * next() - 1;
      const turn = 2 * Math.PI * next();
      const u = [Math.cos(turn) * Math.sqrt(1 - z * z), Math.sin(turn) * Math.sqrt(1 - z * z), z];
      const seen = points.slice(0, 1500).map((p) => seenAlong(u, p));
      expect(farthest(seen, shadowOf(u, to))).toBeLessThanOrEqual(limit);
      expect(Math.abs(height(u, from) - height(u, to))).toBeLessThanOrEqual(limit);
    }
  }
  expect(Math.abs(simple.volumeChangeMm3)).toBeLessThanOrEqual(distance * measurePattern(pattern).areaMm2);
});

test('what cannot be simplified comes back as it was, and is said', async () => {
  const cube = asPattern(box([0, 0, 0], [9, 9, 9]));
  const simple = await simplifyPattern(cube);
  expect(simple.pattern).toBe(cube);
  expect(simple.findings.map((finding) => finding.code)).toEqual(['not-simplified']);
});

test('options are checked, an abort is obeyed', async () => {
  await expect(simplifyPattern(asPattern(box()), { distance: 0 })).rejects.toThrow(/distance/);
  const reason = new Error('enough');
  await expect(simplifyPattern(asPattern(box()), { signal: AbortSignal.abort(reason) })).rejects.toBe(reason);
});
