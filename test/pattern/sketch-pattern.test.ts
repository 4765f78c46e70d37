import { inspectPattern, measureLikeness, measurePattern, sketchPattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import { snowdenMesh } from '../helpers/scans.js';
import { asPattern, box, merge, sphere, torus, translate } from '../helpers/shapes.js';

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

  test('says how far it is off, as a closed form has it', async () => {
    const ring = asPattern(torus(50, 20, 200, 100));
    const sketch = await sketchPattern(ring, { triangles: 2000 });
    const finding = sketch.findings.at(-1)!;
    expect(finding.code).toBe('sketch-distance');
    expect(finding.message).toMatch(/2000 of its corners, spread evenly/);
    const some = measureLikeness(ring, sketch);
    expect(finding.message).toContain(`up to ${some.distance.toPrecision(2)} mm`);
    const all = measureLikeness(ring, sketch, { corners: 1e6 });
    expect(all).toMatchObject({ corners: 20000, complete: true });
    expect(some).toMatchObject({ corners: 2000, complete: false });
    expect(some.distance).toBeLessThanOrEqual(all.distance);
    expect(some.distance).toBeGreaterThan(0.5 * all.distance);
    expect(some.typicalDistance / all.typicalDistance).toBeCloseTo(1, 0);
    // A ball of 10 within one of 13: every corner lies 3 from the sphere, and nearly that from its faces.
    const shells = measureLikeness(asPattern(sphere(13, 3)), asPattern(sphere(10, 4)));
    expect(shells.distance).toBeGreaterThanOrEqual(3);
    expect(shells.distance).toBeLessThan(3.02);
    expect(shells.typicalDistance).toBeCloseTo(shells.distance, 1);
    // The far corner of a cube twice as large, diagonally.
    const cubes = measureLikeness(asPattern(box([0, 0, 0], [20, 20, 20])), asPattern(box([0, 0, 0], [10, 10, 10])));
    expect(cubes.distance).toBeCloseTo(Math.sqrt(300), 12);
    expect(cubes.complete).toBe(true);
  });

  test('a quick sketch of a dense scan merges corners first: as closed, as near, and without a word on how near', async () => {
    const ring = asPattern(translate(torus(50, 20, 400, 200), [1e5, -300, 7]));
    const quick = await sketchPattern(ring, { triangles: 2000, quick: true });
    expect(quick.triangles.length / 3).toBeGreaterThan(1500);
    expect(quick.triangles.length / 3).toBeLessThanOrEqual(2000);
    expect(inspectPattern(quick)).toMatchObject({ balanced: true });
    expect(quick.findings).toEqual(ring.findings);
    // Merged corners lie inside a round body by the sagitta of a cell; less than the flats of the sketch itself.
    const slow = measureLikeness(ring, await sketchPattern(ring, { triangles: 2000 }));
    const off = measureLikeness(ring, quick);
    expect(off.typicalDistance).toBeLessThan(1.5 * slow.typicalDistance);
    expect(off.distance).toBeLessThan(1.5 * slow.distance);
    const kept = measurePattern(quick).volumeMm3 / measurePattern(ring).volumeMm3;
    expect(kept).toBeGreaterThan(0.98);
    expect(kept).toBeLessThan(1.001);
  });

  test('a quick sketch of a large plain body with one fine part keeps that part: merging would leave too little', async () => {
    const post = asPattern(merge(box([0, 0, 0], [100, 100, 100]), translate(sphere(1, 5), [50, 50, 110])));
    const quick = await sketchPattern(post, { triangles: 3000, quick: true });
    expect(quick.triangles.length / 3).toBeGreaterThan(1500);
    expect(quick.triangles.length / 3).toBeLessThanOrEqual(3000);
    expect(inspectPattern(quick)).toMatchObject({ closed: true, shells: 2 });
  });

  test('a quick sketch of what is not dense is the same sketch', async () => {
    const ring = asPattern(torus(50, 20, 200, 100));
    const triangles = 15_000;
    const [quick, slow] = [
      await sketchPattern(ring, { triangles, quick: true }),
      await sketchPattern(ring, { triangles }),
    ];
    expect(quick.positions).toEqual(slow.positions);
    expect(quick.triangles).toEqual(slow.triangles);
  });

  test('refuses a silly number', async () => {
    await expect(sketchPattern(asPattern(sphere(1, 1)), { triangles: 3 })).rejects.toThrow(/triangles must be/);
  });
});
