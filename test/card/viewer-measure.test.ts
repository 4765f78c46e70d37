import { makeScene, readScene, TONE, type SceneMesh } from '@oddside/card';
import { describe, expect, it } from 'vitest';
import { firstHit, measurePlace, normalOf } from '../../packages/card/viewer/measure.js';
import { box, frustum, sphere, type Mesh } from '../helpers/shapes.js';

function sceneOf(mesh: Mesh, toneAt: (triangle: number) => number = () => TONE.cope, jointHeight = 0): SceneMesh {
  const tones = Uint8Array.from({ length: mesh.triangles.length / 3 }, (_, t) => toneAt(t));
  return readScene(makeScene(mesh, { ways: [{ rank: 1, draw: [0, 0, 1], jointHeight, tones }] }));
}

describe('a place that is pointed at', () => {
  it('on a box says its height, its draft and what is behind it', () => {
    const mesh = sceneOf(box([0, 0, 0], [10, 20, 30]), () => TONE.cope, 12);
    const side = firstHit(mesh, [-50, 7, 20], [1, 0, 0], 0)!;
    expect(side.point[0]).toBeCloseTo(0, 9);
    const figures = measurePlace(mesh, mesh.ways[0], side);
    expect(figures.draftDeg).toBeCloseTo(0, 9);
    expect(figures.aboveJoint).toBeCloseTo(8, 9);
    expect(figures.thickness).toBeCloseTo(10, 9);
    const top = measurePlace(mesh, mesh.ways[0], firstHit(mesh, [4, 5, 90], [0, 0, -1], 0)!);
    expect(top.draftDeg).toBeCloseTo(90, 9);
    expect(top.thickness).toBeCloseTo(30, 9);
  });

  it('on a taper says the taper', () => {
    // r 10 to 8 over 20: atan(2/20), a little more on the facets of 256 sides.
    const mesh = sceneOf(frustum(10, 8, 20, 256));
    const hit =
      firstHit(mesh, [-50, 0.1, mesh.positions[2] + 3], [1, 0, 0], 0) ?? firstHit(mesh, [-50, 0.1, 3], [1, 0, 0], 0);
    expect(measurePlace(mesh, mesh.ways[0], hit!).draftDeg).toBeCloseTo((Math.atan(2 / 20) * 180) / Math.PI, 1);
  });

  it('is nothing beside the pattern, and open behind an open surface', () => {
    const ball = sceneOf(sphere(5, 3));
    expect(firstHit(ball, [0, 6, 9], [0, 0, -1], 0)).toBeUndefined();
    const whole = box();
    const lid = sceneOf({ positions: whole.positions, triangles: whole.triangles.slice(0, 3) });
    const normal = normalOf(lid, 0);
    const middle = [0, 1, 2].map((k) =>
      [0, 1, 2].reduce((sum, c) => sum + lid.positions[lid.triangles[c] * 3 + k] / 3, 0),
    );
    const from = [0, 1, 2].map((k) => middle[k] + 5 * normal[k]) as [number, number, number];
    const hit = firstHit(lid, from, [-normal[0], -normal[1], -normal[2]], 0)!;
    expect(hit.far).toBeCloseTo(5, 6);
    expect(measurePlace(lid, lid.ways[0], hit).thickness).toBeUndefined();
  });
});
