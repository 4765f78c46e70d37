/** Sections of solids whose cuts are known by elementary geometry. */
import { describe, expect, it } from 'vitest';
import { sectionAtHeight } from '../../packages/parting/src/section-at-height.js';
import {
  asPattern,
  blockyMug,
  box,
  cylinder,
  hollowCube,
  polycube,
  rotate,
  shuffleTriangles,
  tetrahedron,
  torus,
  translate,
  volumeOf,
} from '../helpers/shapes.js';

describe('sectionAtHeight', () => {
  it('cuts a box into one outline, metal on the left', () => {
    const { loops, areaMm2, reliable, openChains } = sectionAtHeight(
      asPattern(box([0, 0, 0], [3, 2, 1])),
      [0, 0, 1],
      0.5,
    );
    expect(loops).toHaveLength(1);
    expect(areaMm2).toBeCloseTo(6, 12);
    expect(loops[0].length).toBeCloseTo(10, 12);
    expect(reliable).toBe(true);
    expect(openChains).toHaveLength(0);
    for (let i = 2; i < loops[0].points.length; i += 3) expect(loops[0].points[i]).toBe(0.5);
  });

  it('sees the same outline from below as a mirror image: metal still on the left', () => {
    const cut = sectionAtHeight(asPattern(box([0, 0, 0], [3, 2, 1])), [0, 0, -2], -0.5);
    expect(cut.areaMm2).toBeCloseTo(6, 12);
  });

  it('counts holes negative', () => {
    const { loops, areaMm2 } = sectionAtHeight(asPattern(torus(3, 1, 64, 32)), [0, 0, 1], 0.01);
    expect(loops.map((loop) => Math.sign(loop.areaMm2)).toSorted()).toEqual([-1, 1]);
    const ngon = (64 / 2) * Math.sin((2 * Math.PI) / 64);
    const reach = 1 - 0.01 * Math.tan(Math.PI / 32);
    expect(areaMm2).toBeCloseTo(ngon * ((3 + reach) ** 2 - (3 - reach) ** 2), 6);
    expect(sectionAtHeight(asPattern(hollowCube()), [0, 0, 1], 1).areaMm2).toBeCloseTo(3, 12);
  });

  it('cuts exactly through faces and corners, on the side asked for', () => {
    const pattern = asPattern(blockyMug());
    // At z = 1 the floor of the cup begins; the handle's lower arm ends there.
    expect(sectionAtHeight(pattern, [0, 0, 1], 1).areaMm2).toBeCloseTo(16 + 2, 12);
    expect(sectionAtHeight(pattern, [0, 0, 1], 1, { side: 'above' }).areaMm2).toBeCloseTo(12 + 0.5, 12);
    expect(sectionAtHeight(pattern, [0, 0, 1], 4).areaMm2).toBeCloseTo(12, 12);
    expect(sectionAtHeight(pattern, [0, 0, 1], 4, { side: 'above' }).loops).toHaveLength(0);
    expect(sectionAtHeight(pattern, [0, 0, 1], 0).loops).toHaveLength(0);
    expect(sectionAtHeight(pattern, [0, 0, 1], 0, { side: 'above' }).areaMm2).toBeCloseTo(16, 12);
    const square = sectionAtHeight(asPattern(tetrahedron()), [0, 0, 1], 0);
    expect(square.areaMm2).toBeCloseTo(2, 12);
  });

  it('closes outlines where four faces meet in one edge', () => {
    const touching = asPattern(polycube([0, 0, 0], [1, 1, 0]));
    const { loops, areaMm2, reliable } = sectionAtHeight(touching, [0, 0, 1], 0.5);
    expect(areaMm2).toBeCloseTo(2, 12);
    expect(reliable).toBe(true);
    expect(loops.length).toBeGreaterThan(0);
  });

  it('adds up to the volume by slices, in any turn, place and order of triangles', () => {
    const mesh = translate(rotate(shuffleTriangles(blockyMug(), 3), [1, 2, 3], 33), [40, 50, 60]);
    const axis = [0.36, 0.48, 0.8] as const;
    const at = (i: number): number =>
      mesh.positions[i] * 0.36 + mesh.positions[i + 1] * 0.48 + mesh.positions[i + 2] * 0.8;
    const heights = Array.from({ length: mesh.positions.length / 3 }, (_, k) => at(3 * k));
    const [low, high] = [Math.min(...heights), Math.max(...heights)];
    let sum = 0;
    for (let k = 0; k < 400; k++) {
      sum += sectionAtHeight(asPattern(mesh), axis, low + ((k + 0.5) / 400) * (high - low)).areaMm2;
    }
    expect((sum * (high - low)) / 400 / volumeOf(mesh)).toBeCloseTo(1, 3);
  });

  it('keeps what does not close apart and says so', () => {
    const mesh = cylinder(1, 2, 16);
    const open = { positions: mesh.positions, triangles: mesh.triangles.slice(0, mesh.triangles.length - 48) };
    const wall = { positions: mesh.positions, triangles: open.triangles.slice(48, 48 + 48) };
    const cut = sectionAtHeight(asPattern(wall), [0, 0, 1], 1);
    expect(cut.openChains.length).toBeGreaterThan(0);
    expect(cut.reliable).toBe(false);
    expect(cut.findings[0].code).toBe('open-section');
  });

  it('gives the same answer twice and leaves the pattern alone', () => {
    const pattern = asPattern(torus(3, 1, 32, 16));
    const before = pattern.positions.slice();
    expect(sectionAtHeight(pattern, [0.1, 0, 1], 0.2)).toEqual(sectionAtHeight(pattern, [0.1, 0, 1], 0.2));
    expect(pattern.positions).toEqual(before);
  });

  it('refuses nonsense', () => {
    expect(() => sectionAtHeight(asPattern(box()), [0, 0, 0], 1)).toThrow(/direction/i);
    expect(() => sectionAtHeight(asPattern(box()), [0, 0, 1], NaN)).toThrow(/height/);
  });
});
