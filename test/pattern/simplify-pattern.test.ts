import { inspectPattern, measurePattern, simplifyPattern } from '@oddside/pattern';
import { expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { asPattern, box, scale, sphere, translate } from '../helpers/shapes.js';

test('a fine ball: fewer triangles, within the distance, still closed', async () => {
  const pattern = asPattern(sphere(100, 5));
  const before = pattern.positions.slice();
  for (const [distance, share] of [
    [0.3, 0.9],
    [1, 0.4],
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

test('options are checked, an abort is obeyed', async () => {
  await expect(simplifyPattern(asPattern(box()), { distance: 0 })).rejects.toThrow(/distance/);
  const reason = new Error('enough');
  await expect(simplifyPattern(asPattern(box()), { signal: AbortSignal.abort(reason) })).rejects.toBe(reason);
});
