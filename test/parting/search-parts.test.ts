/** The parts of the search: samples, the surface at a glance, own axes, points and words. */
import { describe, expect, it } from 'vitest';
import {
  assessDraw,
  axialAngleDeg,
  coveringRadiusDeg,
  eigenvectors3,
  findOwnAxes,
  PARTING_WEIGHTS,
  sampleDirections,
  scoreDraw,
  surveySurface,
  verdictOf,
} from '@oddside/parting';
import { dot, length, type Vec3 } from '@oddside/core';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

describe('sampleDirections', () => {
  it.each([
    [1, 6],
    [50, 46],
    [250, 246],
    [1000, 981],
  ])('about %i are %i unit directions on the upper half, none further from any axis than stated', (asked, count) => {
    const directions = sampleDirections(asked);
    expect(directions).toHaveLength(count);
    expect(sampleDirections(count)).toEqual(directions);
    for (const d of directions) {
      expect(length(d)).toBeCloseTo(1, 14);
      expect(d[2]).toBeGreaterThan(0);
    }
    const random = s.seededRandom(count);
    let worst = 0;
    for (let i = 0; i < 3000; i++) {
      const probe = s.randomDirection(random) as Vec3;
      const nearest = directions.reduce((best, d) => Math.max(best, Math.abs(dot(d, probe))), 0);
      worst = Math.max(worst, (Math.acos(Math.min(1, nearest)) * 180) / Math.PI);
    }
    expect(worst).toBeLessThanOrEqual(coveringRadiusDeg(count));
    expect(worst).toBeGreaterThan(0.9 * coveringRadiusDeg(asked));
  });

  it('covers within 8 % of what a flat sheet of even triangles would, 89°/√count', () => {
    for (const count of [21, 81, 246, 981, 2206, 14_046]) {
      const ideal = Math.sqrt((2 * Math.PI * 2) / (3 * Math.sqrt(3) * count)) * (180 / Math.PI);
      expect(ideal * Math.sqrt(count)).toBeCloseTo(89.1, 1);
      expect(coveringRadiusDeg(count)).toBeLessThan(1.08 * ideal);
      expect(coveringRadiusDeg(count)).toBeGreaterThan(ideal);
    }
  });

  it('no two are close together, and none lies along an axis of the file', () => {
    const directions = sampleDirections(981);
    const near = Math.cos((1.4 * coveringRadiusDeg(981) * Math.PI) / 180);
    const closest = directions.map((d, i) =>
      directions.slice(i + 1).reduce((most, other) => Math.max(most, Math.abs(dot(d, other))), 0),
    );
    expect(Math.max(...closest)).toBeLessThan(near);
    expect(Math.max(...directions.flat().map(Math.abs))).toBeLessThan(0.99999);
  });
});

describe('surveySurface', () => {
  it('area, middle, size and axes of a box, wherever it stands', () => {
    const mesh = s.translate(s.box([0, 0, 0], [6, 2, 1]), [1e5, 0, -3]);
    const found = surveySurface(s.asPattern(mesh));
    expect(found.areaMm2).toBeCloseTo(40, 6);
    [1e5 + 3, 1, -2.5].forEach((c, i) => expect(found.centroid[i]).toBeCloseTo(c, 6));
    expect(found.size).toBeCloseTo(Math.sqrt(41), 6);
    expect(Math.abs(found.principalAxes[0][0])).toBeCloseTo(1, 9);
    expect(Math.abs(found.principalAxes[2][2])).toBeCloseTo(1, 9);
  });

  it('eigenvectors of a symmetric matrix are square to each other and reproduce it', () => {
    const m = [
      [4, 1, -2],
      [1, 3, 0.5],
      [-2, 0.5, 7],
    ];
    const axes = eigenvectors3(m);
    let before = Infinity;
    for (const axis of axes) {
      const image = m.map((row) => dot(row as unknown as Vec3, axis));
      const value = dot(image as unknown as Vec3, axis);
      image.forEach((c, i) => expect(c).toBeCloseTo(value * axis[i], 9));
      expect(value).toBeLessThanOrEqual(before);
      before = value;
    }
    expect(dot(axes[0], axes[1])).toBeCloseTo(0, 12);
  });
});

describe('findOwnAxes', () => {
  it('finds the exact axes of a turned-over block, and the slot direction that no face looks along', () => {
    const { axis, deg } = s.randomRotation(9);
    const mesh = s.rotate(s.dovetail(1, 2, 1, 3), axis, deg);
    const found = findOwnAxes(s.asPattern(mesh), surveySurface(s.asPattern(mesh)));
    for (const own of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ] as const) {
      const turned = s.turnPoint(own, axis, deg) as Vec3;
      expect(Math.min(...found.map((o) => axialAngleDeg(o.direction, turned)))).toBeLessThan(1e-5);
    }
    found.forEach((a, i) =>
      found.slice(0, i).forEach((b) => expect(axialAngleDeg(a.direction, b.direction)).toBeGreaterThanOrEqual(0.1)),
    );
  });

  it('a scan has no flats: only the axes of its spread', () => {
    const hare = s.asPattern(bunnyMesh());
    const found = findOwnAxes(hare, surveySurface(hare));
    expect(found.every((axis) => axis.from === 'axis of its spread')).toBe(true);
    expect(found).toHaveLength(3);
  });
});

describe('points and verdicts', () => {
  const scale = { volumeMm3: 55, areaMm2: 172, size: 8 };
  it('points are share times weight, and every criterion has its sentence', () => {
    const criteria = scoreDraw(assessDraw(s.asPattern(s.blockyMug()), [0, 0, 1]), scale, PARTING_WEIGHTS);
    expect(criteria.map((c) => c.id)).toEqual(Object.keys(PARTING_WEIGHTS).slice(0, 6));
    for (const c of criteria) {
      expect(c.points).toBeCloseTo(c.share * c.weight, 12);
      expect(c.sentence.length).toBeGreaterThan(10);
    }
    expect(criteria[0].share).toBeCloseTo(3 / 55, 3);
  });

  it.each([
    ['draws-flat', s.box(), [0, 0, 1], 1],
    ['draws-shaped', s.pinnedStairs(), [0, 0, 1], 23],
    ['held', s.blockyMug(), [0, 0, 1], 55],
    ['draws-shaped', s.tetrahedron(), [0, 0, 1], 8 / 3],
  ])('%s', (verdict, mesh, draw, volume) => {
    expect(verdictOf(assessDraw(s.asPattern(mesh), draw as unknown as Vec3), volume)).toBe(verdict);
  });
});
