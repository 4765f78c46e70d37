import { measureSections, type Sections } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import {
  asPattern, box, boxesUnion, extrude, keepTriangles, lBracket, scale, span, sphere, uNotch, type Mesh, type Point2,
} from '../helpers/shapes.js'; // prettier-ignore
import { snowdenMesh } from '../helpers/scans.js';

const sections = (mesh: Mesh, samples = 6000): Promise<Sections> => measureSections(asPattern(mesh), { samples });

/** Long walls of thickness 1, so that their ends do not matter; deep along z. */
const walls = (outline: Point2[]): Mesh => extrude(outline, 12);
const L: Point2[] = [
  [0, 0],
  [10, 0],
  [10, 1],
  [1, 1],
  [1, 10],
  [0, 10],
];
const T: Point2[] = [
  [-10, 0],
  [10, 0],
  [10, 1],
  [0.5, 1],
  [0.5, 10],
  [-0.5, 10],
  [-0.5, 1],
  [-10, 1],
];
const X: Point2[] = [
  [-0.5, -10], [0.5, -10], [0.5, -0.5], [10, -0.5], [10, 0.5], [0.5, 0.5],
  [0.5, 10], [-0.5, 10], [-0.5, 0.5], [-10, 0.5], [-10, -0.5], [-0.5, -0.5],
]; // prettier-ignore

describe('O28 junctions of walls: the ball that freezes last', () => {
  // Derived: L, a ball touching both outer faces and the inner edge, 2 (2 - √2) t; T, the far face and both inner edges,
  // r = (t² + t²/4) / 2t; X, all four inner edges, √2 t.
  test.each([
    ['L', L, 2 * (2 - Math.SQRT2)],
    ['T', T, 1.25],
    ['X', X, Math.SQRT2],
  ])('%s', async (_, outline, expected) => {
    const { metal, reliable } = await sections(walls(outline));
    expect(reliable).toBe(true);
    expect(metal.thickest!.thickness).toBeCloseTo(expected, 3);
    expect(metal.thinnest!.thickness).toBeGreaterThan(0.999);
    expect(metal.thinnest!.thickness).toBeLessThan(1.001);
  });

  test('a thickness scales with the pattern', async () => {
    const { metal } = await sections(scale(walls(L), 7));
    expect(metal.thickest!.thickness).toBeCloseTo(7 * 2 * (2 - Math.SQRT2), 2);
  });
});

describe('plain bodies', () => {
  test('a plate is as thick as it is, at every corner too', async () => {
    const { metal, sand } = await sections(box([0, 0, 0], [40, 30, 3]));
    expect(metal.thickest!.thickness).toBeCloseTo(3, 4);
    expect(metal.thinnest!.thickness).toBeCloseTo(3, 4);
    for (const thickness of metal.byCorner) expect(thickness).toBeCloseTo(3, 4);
    expect(sand!.thinnest).toBe(null);
    for (const thickness of sand!.byCorner) expect(thickness).toBe(Infinity);
  });

  test('a ball', async () => {
    const { metal } = await sections(sphere(10, 4), 500);
    expect(metal.thickest!.thickness / 20).toBeCloseTo(1, 2);
    expect(metal.thinnest!.thickness / 20).toBeCloseTo(1, 2);
  });

  test('a step: thin here, thick there', async () => {
    const stepped = boxesUnion([span([0, 40], [0, 20], [0, 2]), span([0, 20], [0, 20], [0, 8])]);
    const { metal } = await sections(stepped);
    expect(metal.thinnest!.thickness).toBeCloseTo(2, 3);
    expect(metal.thinnest!.where[0]).toBeGreaterThan(20);
    expect(metal.thickest!.thickness).toBeGreaterThan(7.99);
    expect(metal.thickest!.centre[0]).toBeLessThan(20);
  });
});

describe('sand', () => {
  test('the tongue of sand in a slot', async () => {
    const { sand } = await sections(scale(uNotch(3), 10));
    expect(sand!.thinnest!.thickness).toBeCloseTo(10, 2);
  });

  test('left out when not asked for', async () => {
    expect((await measureSections(asPattern(box()), { samples: 200, sand: false })).sand).toBe(null);
  });
});

test('an open surface is not reliable, an abort is obeyed, options are checked', async () => {
  const open = await sections(
    keepTriangles(box([0, 0, 0], [9, 9, 9]), (t) => t > 1),
    500,
  );
  expect(open.reliable).toBe(false);
  expect(open.findings.map((finding) => finding.code)).toContain('sections-uncertain');
  const control = new AbortController();
  const reason = new Error('enough');
  const running = measureSections(asPattern(snowdenMesh('lo')), {
    signal: control.signal,
    onProgress: () => control.abort(reason),
  });
  await expect(running).rejects.toBe(reason);
  await expect(measureSections(asPattern(lBracket()), { samples: 1 })).rejects.toThrow(/samples/);
});
