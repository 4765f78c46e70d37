import { inspectPattern, measurePattern, sketchPattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import { snowdenMesh } from '../helpers/scans.js';
import { asPattern, sphere, torus, translate } from '../helpers/shapes.js';

describe('a sketch of a pattern', () => {
  test('has about as many triangles as asked, is closed where the pattern is, and nearly as big', async () => {
    const ring = asPattern(torus(50, 20, 200, 100));
    const sketch = await sketchPattern(ring, { triangles: 2000 });
    expect(sketch.triangles.length / 3).toBeGreaterThan(1500);
    expect(sketch.triangles.length / 3).toBeLessThanOrEqual(2000);
    expect(inspectPattern(sketch)).toMatchObject({ closed: true, consistent: true });
    // Collapsed corners stay on the surface, so a round body loses a little at every flat.
    const kept = measurePattern(sketch).volumeMm3 / measurePattern(ring).volumeMm3;
    expect(kept).toBeGreaterThan(0.98);
    expect(kept).toBeLessThan(1);
  });

  test('keeps corners where they are, also far from the origin', async () => {
    const far = asPattern(translate(sphere(10, 5), [1e6, -1e6, 1e6]));
    const corners = new Set<string>();
    for (let i = 0; i < far.positions.length; i += 3) corners.add(far.positions.subarray(i, i + 3).join());
    const sketch = await sketchPattern(far, { triangles: 500 });
    expect(sketch.triangles.length / 3).toBeLessThanOrEqual(500);
    for (let i = 0; i < sketch.positions.length; i += 3) {
      expect(corners.has(sketch.positions.subarray(i, i + 3).join())).toBe(true);
    }
  });

  test('leaves a small pattern alone, and never changes the one given', async () => {
    const ball = asPattern(sphere(10, 2));
    expect(await sketchPattern(ball)).toBe(ball);
    const bust = asPattern(snowdenMesh('lo'));
    const before = bust.triangles.slice();
    await sketchPattern(bust);
    expect(bust.triangles).toEqual(before);
  });

  test('refuses a silly number', async () => {
    await expect(sketchPattern(asPattern(sphere(1, 1)), { triangles: 3 })).rejects.toThrow(/triangles must be/);
  });
});
