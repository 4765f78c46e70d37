import { describe, expect, it } from 'vitest';
import { drainSteps, type Vec3 } from '@oddside/core';
import { axialAngleDeg, advisePartings, findOwnAxes, surveySurface, type OwnAxis } from '@oddside/parting';
import { distinctAxes } from '../../packages/parting/src/find-own-axes.js';
import { restingFaceSteps } from '../../packages/parting/src/find-resting-faces.js';
import { directionsAcross, findRoundAxes } from '../../packages/parting/src/find-round-axes.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];

/** A mesh turned at random, far from the origin, and where an axis of it went. */
function turned(mesh: s.Mesh, seed: number): { pattern: ReturnType<typeof s.asPattern>; put: (axis: Vec3) => Vec3 } {
  const { axis, deg } = s.randomRotation(seed);
  return {
    pattern: s.asPattern(s.translate(s.rotate(mesh, axis, deg), [500, -300, 200])),
    put: (own) => s.turnPoint(own, axis, deg) as Vec3,
  };
}

describe('findRoundAxes', () => {
  it.each([
    ['a pin', s.cylinder(5, 40)],
    ['a boss with 3° of taper', s.frustum(10, 9, 19)],
    ['a plate with a bore', s.plateWithRoundHole(30, 12, 8)],
    ['a tube', s.extrude(s.circle(20, 96), 50, [s.circle(12, 96)])],
  ] as const)('finds the axis of %s, however it is turned (seeds 1 to 5)', (_, mesh) => {
    for (let seed = 1; seed <= 5; seed++) {
      const { pattern, put } = turned(mesh, seed);
      const [first, ...others] = findRoundAxes(pattern);
      expect(axialAngleDeg(first.direction, put(Z))).toBeLessThan(1e-5);
      expect(others).toEqual([]);
    }
  });

  it('finds none on a box, a ball, a wedge and a scan', () => {
    for (const mesh of [s.box([0, 0, 0], [3, 2, 1]), s.sphere(10, 4), s.dovetail(1, 2, 1, 3), bunnyMesh()]) {
      expect(findRoundAxes(s.asPattern(mesh))).toEqual([]);
    }
  });

  it('tells how much of the surface is round: of a pin the sides', () => {
    const [pin] = findRoundAxes(s.asPattern(s.cylinder(5, 40)));
    expect(pin.share).toBeCloseTo((2 * Math.PI * 5 * 40) / (2 * Math.PI * 5 * 40 + 2 * Math.PI * 25), 2);
  });
});

describe('directions across a round part', () => {
  it('are square to it, even, and begin at the corner that is furthest out, however it is turned', () => {
    const { pattern, put } = turned(s.box([-1, -2, -3], [1, 2, 3]), 3);
    const { centroid } = surveySurface(pattern);
    const across = directionsAcross(pattern, put(Z), centroid, 12);
    expect(across).toHaveLength(12);
    for (const direction of across) expect(axialAngleDeg(direction, put(Z))).toBeCloseTo(90, 6);
    across.slice(1).forEach((direction, k) => expect(axialAngleDeg(direction, across[k])).toBeCloseTo(15, 6));
    const corner = [1, -1].map((sign) => put([1 / Math.sqrt(5), (sign * 2) / Math.sqrt(5), 0]));
    expect(Math.min(...corner.map((one) => axialAngleDeg(across[0], one)))).toBeLessThan(1e-5);
  });

  it('are among the own axes of a pin, and so are those square to its flats', () => {
    const { pattern, put } = turned(s.cylinder(5, 40), 2);
    const axes = findOwnAxes(pattern, surveySurface(pattern));
    expect(axes.filter(({ from }) => from === 'across a round part').length).toBeGreaterThanOrEqual(12);
    const along = [[1, 0, 0], [0, 1, 0], Z].map((own) => put(own as Vec3));
    const best = Math.min(...axes.flatMap(({ direction }) => along.map((own) => axialAngleDeg(direction, own))));
    expect(best).toBeLessThan(1e-5);
  });
});

describe('resting faces', () => {
  it('of a box are its six sides, the largest first', () => {
    const { pattern, put } = turned(s.box([0, 0, 0], [6, 3, 1]), 7);
    const faces = drainSteps(restingFaceSteps(pattern.positions));
    expect(faces).toHaveLength(6);
    const own: Vec3[] = [Z, Z, [0, 1, 0], [0, 1, 0], [1, 0, 0], [1, 0, 0]];
    faces.forEach((face, k) => expect(axialAngleDeg(face, put(own[k]))).toBeLessThan(0.01));
  });

  it('are tried beside the axes of the surface', async () => {
    const hare = s.asPattern(bunnyMesh());
    const own = findOwnAxes(hare, surveySurface(hare));
    const square = drainSteps(restingFaceSteps(hare.positions)).map((direction): OwnAxis => ({
      direction,
      from: 'square to a face of its hull',
    }));
    const all = distinctAxes([...own, ...square]);
    expect(all.length).toBeGreaterThan(own.length + 3);
    const { search } = await advisePartings(hare, { samples: 50, joints: false, searchTriangles: 0 });
    expect(search.ownAxes).toBe(all.length);
  });
});
