import { inspectPatternFully, type FullInspection } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import {
  MeshBuilder, asPattern, box, cylinder, hollowCube, keepTriangles, merge, scale, seededRandom, sphere, torus, translate,
  turnOver, type Mesh,
} from '../helpers/shapes.js'; // prettier-ignore
import { snowdenMesh } from '../helpers/scans.js';

const inspect = (mesh: Mesh): Promise<FullInspection> => inspectPatternFully(asPattern(mesh));
const codes = (inspection: FullInspection): string[] => inspection.findings.map((finding) => finding.code);

describe('triangles that cut each other', () => {
  test('none in sound meshes, though all their neighbours touch', async () => {
    for (const mesh of [box(), sphere(5, 3), torus(5, 1), hollowCube()]) {
      expect((await inspect(mesh)).selfIntersections).toBe(0);
    }
  });

  test('two boxes through each other, as brute force counts them', async () => {
    const two = merge(box([0, 0, 0], [10, 10, 10]), box([5, 5, 5], [15, 15, 15]));
    const { selfIntersections, cutPairs } = await inspect(two);
    expect(selfIntersections).toBeGreaterThan(0);
    expect(cutPairs.length).toBe(selfIntersections! * 2);
    for (let i = 0; i < cutPairs.length; i += 2) expect(cutPairs[i] < 12 && cutPairs[i + 1] >= 12).toBe(true);
  });

  test('a touch counts, a hair apart does not', async () => {
    const at = (gap: number): Mesh => merge(box([0, 0, 0], [1, 1, 1]), box([1 + gap, 0.25, 0.25], [2, 0.75, 0.75]));
    expect((await inspect(at(0))).selfIntersections).toBeGreaterThan(0);
    expect((await inspect(at(1e-15))).selfIntersections).toBe(0);
  });

  test('a neighbour folded flat onto its neighbour', async () => {
    const build = new MeshBuilder();
    for (const [x, y] of [
      [0, 0],
      [4, 0],
      [1, 2],
      [2, 1],
    ] as const)
      build.corner(x, y, 0);
    build.triangle(0, 1, 2);
    build.triangle(1, 0, 3);
    expect((await inspect(build.build())).selfIntersections).toBe(1);
  });

  test('left out when not asked for', async () => {
    const { selfIntersections } = await inspectPatternFully(asPattern(box()), { cuts: false });
    expect(selfIntersections).toBe(null);
  });
});

describe('holes and shells', () => {
  test('a tube open at both ends: two flat round holes', async () => {
    const tube = cylinder(10, 40, 64);
    const { positions } = tube;
    const open = keepTriangles(tube, (t) => {
      const z = [0, 1, 2].map((k) => positions[tube.triangles[t * 3 + k] * 3 + 2]);
      return Math.max(...z) - Math.min(...z) > 1;
    });
    const { holes } = await inspect(open);
    expect(holes).toHaveLength(2);
    for (const hole of holes) {
      expect(hole.length / (2 * Math.PI * 10)).toBeCloseTo(1, 2);
      expect(hole.areaMm2 / (Math.PI * 100)).toBeCloseTo(1, 2);
      expect(hole.span).toBeCloseTo(20, 6);
      expect(hole.unevenness).toBeLessThan(1e-12);
      expect(Math.hypot(hole.where[0], hole.where[1])).toBeLessThan(1e-9);
    }
  });

  test('a void: depth 1, negative volume, a problem', async () => {
    const inspection = await inspect(merge(sphere(10, 3), turnOver(sphere(4, 2)), translate(sphere(2, 2), [30, 0, 0])));
    expect(inspection.shellList.map((shell) => shell.depth)).toEqual([0, 1, 0]);
    expect(inspection.shellList[1].signedVolumeMm3).toBeLessThan(0);
    expect(codes(inspection)).toContain('enclosed-void');
  });

  test('a body in a void in a body, and a body in a body', async () => {
    const three = await inspect(merge(sphere(10, 3), turnOver(sphere(6, 3)), sphere(3, 3)));
    expect(three.shellList.map((shell) => shell.depth)).toEqual([0, 1, 2]);
    expect(codes(three)).not.toContain('nested-bodies');
    expect(codes(await inspect(merge(sphere(10, 3), sphere(3, 3))))).toContain('nested-bodies');
  });

  test('debris', async () => {
    const dirty = await inspect(merge(sphere(100, 3), translate(sphere(0.5, 1), [150, 0, 0])));
    expect(dirty.shellList.map((shell) => shell.debris)).toEqual([false, true]);
    expect(codes(dirty)).toContain('debris');
  });
});

describe('shape of the triangles', () => {
  test('pinched corners and slivers', async () => {
    const tip = merge(box([0, 0, 0], [1, 1, 1]), box([1, 1, 1], [2, 2, 2]));
    // Both boxes share the corner (1, 1, 1).
    const triangles = tip.triangles.map((corner) => (corner === 8 ? 7 : corner));
    expect((await inspect({ ...tip, triangles })).pinchedCorners).toBe(1);
    expect((await inspect(tip)).pinchedCorners).toBe(0);
    expect((await inspect(scale(box(), [1e4, 1, 1]))).slivers).toBe(8);
  });

  test('the noise of a scan is found, and none in a smooth or a drawn one', async () => {
    const smooth = sphere(50, 5);
    const random = seededRandom(3);
    const noisy = {
      ...smooth,
      positions: smooth.positions.map((c) => c + 0.05 * (random() + random() + random() + random() - 2) * Math.sqrt(3)),
    };
    expect((await inspect(noisy)).noise).toBeGreaterThan(0.03);
    expect((await inspect(noisy)).noise).toBeLessThan(0.07);
    expect(codes(await inspect(noisy))).toContain('scan-noise');
    expect((await inspect(smooth)).noise).toBeLessThan(0.005);
    expect(codes(await inspect(smooth))).not.toContain('scan-noise');
    expect((await inspect(box())).noise).toBe(null);
  });
});

test('progress ends in one 1, and an abort stops it with its reason', async () => {
  const bust = asPattern(snowdenMesh('hi'));
  const seen: number[] = [];
  await inspectPatternFully(bust, { onProgress: (fraction) => seen.push(fraction) });
  expect(seen.filter((fraction) => fraction === 1)).toEqual([1]);
  expect([...seen].sort((a, b) => a - b)).toEqual(seen);
  const control = new AbortController();
  const reason = new Error('enough');
  const running = inspectPatternFully(bust, {
    signal: control.signal,
    onProgress: (fraction) => {
      if (fraction > 0.3) control.abort(reason);
    },
  });
  await expect(running).rejects.toBe(reason);
});
