import { isOddsideError } from '@oddside/core';
import { inspectPattern, measurePattern, transformPattern, type Pattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import {
  asPattern, box, hollowCube, keepTriangles, merge, randomRotation, rotate, shuffleTriangles, sphere, tetrahedron, torus,
  translate, turnOver, turnOverSome, volumeOf, type Mesh,
} from '../helpers/shapes.js'; // prettier-ignore
import { bunnyMesh } from '../helpers/scans.js';

const measure = (mesh: Mesh): ReturnType<typeof measurePattern> => measurePattern(asPattern(mesh));

describe('closed forms', () => {
  test('a box: volume, area, centroid, inertia m/12 (b² + c²)', () => {
    const m = measure(box([1, 2, 3], [11, 22, 33]));
    expect(m).toMatchObject({ volumeMm3: 6000, areaMm2: 2200, centroid: [6, 12, 18], reliable: true, findings: [] });
    expect(m.bounds).toEqual({ min: [1, 2, 3], max: [11, 22, 33] });
    const expected = [500 * (400 + 900), 500 * (100 + 900), 500 * (100 + 400)];
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) expect(m.inertiaMm5[i][j]).toBeCloseTo(i === j ? expected[i] : 0, 6);
    }
    expect(m.volumeErrorMm3).toBeLessThan(1e-10);
  });

  test('a right-angled corner tetrahedron: products of inertia', () => {
    // Corner at the origin, legs a b c: V = abc/6, ∫xy = a²b²c/120, centroid (a, b, c)/4; standard integrals.
    const [a, b, c] = [3, 4, 5];
    const positions = Float64Array.of(0, 0, 0, a, 0, 0, 0, b, 0, 0, 0, c);
    const m = measure({ positions, triangles: Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3) });
    const v = (a * b * c) / 6;
    expect(m.volumeMm3).toBeCloseTo(v, 12);
    [a / 4, b / 4, c / 4].forEach((x, i) => expect(m.centroid[i]).toBeCloseTo(x, 12));
    expect(m.inertiaMm5[0][1]).toBeCloseTo(-((a * a * b * b * c) / 120 - (v * a * b) / 16), 12);
    expect(m.inertiaMm5[1][2]).toBeCloseTo(-((a * b * b * c * c) / 120 - (v * b * c) / 16), 12);
    expect(m.inertiaMm5[0][0]).toBeCloseTo(
      (a * b * b * b * c + a * b * c * c * c) / 60 - (v * (b * b + c * c)) / 16,
      12,
    );
  });

  test('a tetrahedron in a cube, a hollow cube', () => {
    expect(measure(tetrahedron()).volumeMm3).toBeCloseTo(8 / 3, 14);
    const hollow = measure(hollowCube());
    expect(hollow).toMatchObject({ reliable: true, findings: [] });
    expect(inspectPattern(asPattern(hollowCube()))).toMatchObject({ closed: true, shells: 2 });
  });

  test('a fine ball and ring come near the round ones', () => {
    const ball = measure(sphere(10, 6));
    expect(ball.volumeMm3 / ((4 / 3) * Math.PI * 1000)).toBeCloseTo(1, 3);
    expect(ball.inertiaMm5[0][0] / (ball.volumeMm3 * 0.4 * 100)).toBeCloseTo(1, 3);
    const ring = measure(torus(20, 5, 400, 200));
    expect(ring.volumeMm3 / (2 * Math.PI ** 2 * 20 * 25)).toBeCloseTo(1, 3);
    expect(ring.areaMm2 / (4 * Math.PI ** 2 * 100)).toBeCloseTo(1, 3);
  });
});

describe('it does not matter', () => {
  const mesh = bunnyMesh();
  const still = measure(mesh);

  test('in which order the triangles come', () => {
    const m = measure(shuffleTriangles(mesh, 5));
    expect(m.volumeMm3 / still.volumeMm3 - 1).toBeCloseTo(0, 14);
    expect(m.areaMm2 / still.areaMm2 - 1).toBeCloseTo(0, 14);
  });

  test('how it is turned', () => {
    const { axis, deg } = randomRotation(7);
    const m = measure(rotate(mesh, axis, deg));
    expect(m.volumeMm3 / still.volumeMm3 - 1).toBeCloseTo(0, 12);
    const trace = (t: typeof m): number => t.inertiaMm5[0][0] + t.inertiaMm5[1][1] + t.inertiaMm5[2][2];
    expect(trace(m) / trace(still) - 1).toBeCloseTo(0, 12);
  });

  test('where it lies, a kilometre away too: what is lost is the rounding of the coordinates', () => {
    const m = measure(translate(mesh, [1e6, -1e6, 1e6]));
    expect(Math.abs(m.volumeMm3 / still.volumeMm3 - 1)).toBeLessThan(1e-9);
    expect(m.centroid[0] - 1e6).toBeCloseTo(still.centroid[0], 6);
    // On whole-number coordinates nothing is lost at all.
    expect(measure(translate(box([0, 0, 0], [10, 20, 30]), [1e6, 1e6, -1e6])).volumeMm3).toBe(6000);
  });
});

describe('meshes that are not sound', () => {
  test('inside out: measured as if turned outwards, with a finding', () => {
    const m = measure(turnOver(box([0, 0, 0], [10, 10, 10])));
    expect(m).toMatchObject({ volumeMm3: 1000, reliable: true });
    expect(m.centroid).toEqual([5, 5, 5]);
    expect(m.inertiaMm5[0][0]).toBeCloseTo((1000 * 200) / 12, 9);
    expect(m.findings.map((finding) => finding.code)).toEqual(['inside-out']);
  });

  test.each([
    ['open', keepTriangles(sphere(10, 3), (t) => t !== 5)],
    ['a face flipped', turnOverSome(sphere(10, 3), (t) => t === 5)],
    ['loose triangles', keepTriangles(sphere(10, 3), (t) => t % 3 === 0)],
  ])('%s: an interval that holds the truth, and not reliable', (_, mesh) => {
    const m = measure(mesh);
    const truth = volumeOf(sphere(10, 3));
    expect(m.reliable).toBe(false);
    expect(Math.abs(truth - m.volumeMm3)).toBeLessThan(m.volumeErrorMm3);
    expect(m.findings.some((finding) => finding.code === 'volume-uncertain')).toBe(true);
  });

  test('every face twice, back to back: no volume can be told', () => {
    const ball = sphere(10, 2);
    const twice = { ...ball, triangles: Uint32Array.from([...ball.triangles, ...turnOver(ball).triangles]) };
    expect(measure(twice).reliable).toBe(false);
  });

  test('arrays that make no mesh are refused', () => {
    const good = asPattern(box());
    const code = (pattern: unknown): string => {
      try {
        measurePattern(pattern as Pattern);
      } catch (error) {
        return isOddsideError(error) ? error.code : 'other';
      }
      return 'none';
    };
    expect(code(undefined)).toBe('bad-pattern');
    expect(code({ ...good, positions: Float32Array.from(good.positions) })).toBe('bad-pattern');
    expect(code({ ...good, triangles: Uint32Array.of(0, 1, 8) })).toBe('bad-pattern');
    expect(code({ ...good, triangles: Uint32Array.of(0, 1) })).toBe('bad-pattern');
    expect(code({ ...good, positions: good.positions.map((c, i) => (i === 4 ? NaN : c)) })).toBe('bad-pattern');
    expect(code({ ...good, triangles: new Uint32Array(0) })).toBe('no-triangles');
  });
});

describe('transformPattern', () => {
  const pattern = asPattern(tetrahedron());

  test('scale, turn and move, in that order, on a copy', () => {
    const before = pattern.positions.slice();
    const moved = transformPattern(pattern, {
      scale: 2,
      rotate: { axis: [0, 0, 1], angleDeg: 90 },
      translate: [10, 0, 0],
    });
    expect(pattern.positions).toEqual(before);
    [8, 2, 2].forEach((c, i) => expect(moved.positions[i]).toBeCloseTo(c, 12));
    expect(measurePattern(moved).volumeMm3).toBeCloseTo(64 / 3, 10);
  });

  test('a mirror keeps the faces outward', () => {
    const mirrored = transformPattern(pattern, { scale: [-1, 1, 1] });
    expect(measurePattern(mirrored)).toMatchObject({ reliable: true, findings: [] });
  });

  test('from one direction to another, also to the opposite one', () => {
    for (const to of [
      [0, 0, 1],
      [0, 0, -1],
      [1, 2, 3],
      [-1, 0.5, 0],
    ] as const) {
      for (const from of [
        [0, 0, 1],
        [1, 0, 0],
        [0, 1, 0],
      ] as const) {
        const arrow = asPattern({
          positions: Float64Array.of(...from, 0, 0, 0, 9, 9, 9),
          triangles: Uint32Array.of(0, 1, 2),
        });
        const { positions } = transformPattern(arrow, { rotate: { from, to } });
        const size = Math.hypot(...to);
        to.forEach((c, i) => expect(positions[i]).toBeCloseTo(c / size, 12));
      }
    }
  });

  test('a matrix by columns', () => {
    const { positions } = transformPattern(pattern, [0, 1, 0, 0, -1, 0, 0, 0, 0, 0, 1, 0, 5, 6, 7, 1]);
    expect(Array.from(positions.subarray(0, 3))).toEqual([4, 7, 8]);
  });

  test('a move that flattens or is malformed is refused', () => {
    expect(() => transformPattern(pattern, { scale: 0 })).toThrow(/flattens/);
    expect(() => transformPattern(pattern, [1, 2, 3])).toThrow(/16 finite numbers/);
    expect(() => transformPattern(pattern, { translate: [NaN, 0, 0] })).toThrow(/translate/);
    expect(() => transformPattern(pattern, { rotate: { axis: [0, 0, 0], angleDeg: 5 } })).toThrow(/axis/);
    expect(() => transformPattern(pattern, { turn: 5 } as never)).toThrow(/turn/);
  });
});

test('shells side by side count together', () => {
  const two = merge(box([0, 0, 0], [1, 1, 1]), box([5, 0, 0], [6, 1, 1]));
  expect(measure(two).volumeMm3).toBe(2);
});
