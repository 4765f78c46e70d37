import { NEW_TRIANGLE, inspectPattern, measurePattern, mendPattern, type Mended } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import {
  asPattern, box, cylinder, keepTriangles, merge, seededRandom, sphere, torus, translate, turnOver, turnOverSome, unweld,
  volumeOf, type Mesh,
} from '../helpers/shapes.js'; // prettier-ignore
import { bunnyMesh, snowdenMesh } from '../helpers/scans.js';

const mend = (mesh: Mesh, plan?: Parameters<typeof mendPattern>[1]): Promise<Mended> =>
  mendPattern(asPattern(mesh), plan);
const done = (mended: Mended): string[] => mended.steps.map((step) => step.what);

async function expectMended(mesh: Mesh, steps: string[], volume: number, digits = 9): Promise<Mended> {
  const before = { positions: mesh.positions.slice(), triangles: mesh.triangles.slice() };
  const mended = await mend(mesh);
  expect(mesh).toEqual(before);
  expect(done(mended)).toEqual(steps);
  expect(inspectPattern(mended.pattern)).toMatchObject({ closed: true, consistent: true, degenerateTriangles: 0 });
  const measures = measurePattern(mended.pattern);
  expect(measures).toMatchObject({ reliable: true, findings: [] });
  expect(measures.volumeMm3 / volume).toBeCloseTo(1, digits);
  expect(mended.triangleFrom.length).toBe(mended.pattern.triangles.length / 3);
  const again = await mendPattern(mended.pattern);
  expect(again.steps).toEqual([]);
  expect(again.pattern).toBe(mended.pattern);
  return mended;
}

const ball = sphere(20, 4);
const volume = volumeOf(ball);

describe('one thing wrong at a time', () => {
  test('nothing', () => expectMended(ball, [], volume));

  test('every triangle with corners of its own, moved by a hair', async () => {
    const loose = unweld(ball);
    const random = seededRandom(1);
    const shaken = { ...loose, positions: loose.positions.map((c) => c + (random() - 0.5) * 1e-6) };
    const { steps } = await expectMended(shaken, ['weld'], volume, 6);
    expect(steps[0].count).toBe(loose.positions.length / 3 - ball.positions.length / 3);
  });

  test('triangles turned over', async () => {
    const { steps, triangleFrom } = await expectMended(
      turnOverSome(ball, (t) => t % 5 === 0),
      ['agree'],
      volume,
    );
    expect(steps[0].count).toBe(ball.triangles.length / 15);
    expect([...triangleFrom]).toEqual([...triangleFrom.keys()]);
  });

  test('inside out', () => expectMended(turnOver(ball), ['turn-outward'], volume));

  test('one body of two inside out', () =>
    expectMended(merge(ball, turnOver(translate(ball, [60, 0, 0]))), ['turn-outward'], 2 * volume));

  test('a void stays a void', () => {
    const hollow = merge(ball, turnOver(sphere(10, 3)));
    return expectMended(hollow, [], volume - volumeOf(sphere(10, 3)));
  });

  test('copies and triangles without area', () => {
    const more = [...ball.triangles, ...ball.triangles.slice(0, 30), 5, 5, 9];
    return expectMended({ ...ball, triangles: Uint32Array.from(more) }, ['drop-degenerate', 'drop-duplicates'], volume);
  });

  test('a fin of two skins back to back', () => {
    const positions = Float64Array.from([...ball.positions, 0, 0, 99]);
    const tip = ball.positions.length / 3;
    const [a, b] = ball.triangles;
    const triangles = Uint32Array.from([...ball.triangles, a, b, tip, b, a, tip]);
    return expectMended({ positions, triangles }, ['drop-skins'], volume);
  });

  test('debris', () => expectMended(merge(ball, translate(sphere(0.1, 1), [40, 0, 0])), ['drop-debris'], volume));

  test('a triangle missing', async () => {
    const { triangleFrom } = await expectMended(
      keepTriangles(ball, (t) => t !== 77),
      ['fill-holes'],
      volume,
    );
    expect([...triangleFrom].filter((from) => from === NEW_TRIANGLE)).toHaveLength(1);
  });

  test('a round hole in a ball: the patch goes on as the ball does', async () => {
    const open = keepTriangles(ball, (t) => ball.positions[ball.triangles[t * 3] * 3 + 2] < 18.8);
    const { pattern, triangleFrom } = await expectMended(open, ['fill-holes'], volume, 2);
    let worst = 0;
    for (let t = 0; t < triangleFrom.length; t++) {
      if (triangleFrom[t] !== NEW_TRIANGLE) continue;
      for (let k = 0; k < 3; k++) {
        const p = pattern.triangles[t * 3 + k] * 3;
        worst = Math.max(worst, Math.abs(Math.hypot(...pattern.positions.subarray(p, p + 3)) - 20));
      }
    }
    // A flat lid would lie 1.5 mm under the ball.
    expect(worst).toBeLessThan(0.5);
  });

  test('a flat cut as wide as the object gets a flat lid', () => {
    const rod = cylinder(10, 40, 200);
    const open = keepTriangles(rod, (t) => [0, 1, 2].some((k) => rod.positions[rod.triangles[t * 3 + k] * 3 + 2] > 1));
    return expectMended(open, ['fill-holes'], volumeOf(rod));
  });
});

describe('what it will not do is said', () => {
  test('a large hole that is not flat', async () => {
    const open = keepTriangles(ball, (t) => {
      const p = ball.triangles[t * 3] * 3;
      return ball.positions[p + 2] + 0.03 * ball.positions[p] ** 2 < 8;
    });
    const mended = await mend(open);
    expect(mended.findings.map((finding) => finding.code)).toEqual(['hole-left-open', 'open-edges']);
    expect(done(await mend(open, { largestHole: 1 }))).toEqual(['fill-holes']);
  });

  test('two sheets, a loose triangle, a band with a half twist', async () => {
    const sheets = await mend({
      ...ball,
      triangles: Uint32Array.from([...ball.triangles, ...turnOver(ball).triangles]),
    });
    expect(sheets.steps).toEqual([]);
    expect(sheets.findings[0].code).toBe('two-sheets');
    const loose = await mend({
      positions: Float64Array.of(0, 0, 0, 9, 0, 0, 0, 9, 0),
      triangles: Uint32Array.of(0, 1, 2),
    });
    expect(loose.steps).toEqual([]);
    expect(loose.findings[0].code).toBe('hole-left-open');
    const n = 12;
    const positions: number[] = [];
    const triangles: number[] = [];
    for (let i = 0; i < n; i++) {
      const [a, h] = [(2 * Math.PI * i) / n, (Math.PI * i) / n];
      for (const side of [-3, 3]) {
        const r = 20 + side * Math.cos(h);
        positions.push(r * Math.cos(a), r * Math.sin(a), side * Math.sin(h));
      }
      const j = i + 1 < n ? 2 * i + 2 : 1;
      const k = i + 1 < n ? 2 * i + 3 : 0;
      triangles.push(2 * i, 2 * i + 1, j, 2 * i + 1, k, j);
    }
    const band = await mend(
      { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) },
      { fill: false },
    );
    expect(band.findings.map((finding) => finding.code)).toContain('one-sided');
  });

  test('a body within a body is left', async () => {
    const { findings, steps } = await mend(merge(ball, sphere(5, 2)));
    expect(steps).toEqual([]);
    expect(findings.map((finding) => finding.code)).toEqual(['nested-bodies']);
  });
});

test('everything wrong at once with the hare', async () => {
  const hare = bunnyMesh();
  const loose = unweld(keepTriangles(turnOver(turnOverSome(hare, (t) => t % 7 === 0)), (t) => t % 400 !== 5));
  const dirty = merge(loose, translate(box([0, 0, 0], [0.01, 0.01, 0.01]), [20, 20, 20]));
  const { pattern, volumeChangeMm3, steps } = await mend(dirty);
  expect(inspectPattern(pattern)).toMatchObject({ closed: true, consistent: true, shells: 1 });
  expect(measurePattern(pattern).volumeMm3 / measurePattern(asPattern(hare)).volumeMm3).toBeCloseTo(1, 3);
  expect(steps.reduce((sum, step) => sum + step.volumeChangeMm3, 0)).toBe(volumeChangeMm3);
});

test('steps can be left out, options are checked, an abort is obeyed', async () => {
  const open = keepTriangles(turnOver(torus(20, 5)), (t) => t !== 3);
  expect(done(await mend(open, { fill: false, orient: false }))).toEqual([]);
  expect(done(await mend(open, { fill: false }))).toEqual(['turn-outward']);
  await expect(mend(open, { weld: -1 })).rejects.toThrow(/weld/);
  await expect(mend(open, { holes: true } as never)).rejects.toThrow(/holes/);
  const reason = new Error('enough');
  await expect(mend(snowdenMesh('lo'), { signal: AbortSignal.abort(reason) })).rejects.toBe(reason);
});
