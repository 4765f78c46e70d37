/** The noise put on a surface is found again: round, upright, with sharp edges, and after triangles were taken off. */
import { describe, expect, it } from 'vitest';
import { estimateNoise, simplifyPattern } from '@oddside/pattern';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const noisy = (mesh: s.Mesh, sigma: number, seed = 7): s.Mesh => {
  const random = s.seededRandom(seed);
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  return { positions: mesh.positions.map((x) => x + sigma * normal()), triangles: mesh.triangles };
};
const found = (mesh: s.Mesh): number => estimateNoise(s.asPattern(mesh)).sigma;

/** A turned bar of radius 20 and length 60, its ends and its side in small facets. */
function bar(): s.Mesh {
  const profile: [number, number][] = [[0.0001, 0]];
  for (let i = 1; i <= 8; i++) profile.push([(20 * i) / 8, 0]);
  for (let i = 1; i <= 48; i++) profile.push([20, (60 * i) / 48]);
  for (let i = 7; i >= 0; i--) profile.push([Math.max((20 * i) / 8, 0.0001), 60]);
  return s.revolve(profile, 96);
}

/** A cube of side 50 in 20 × 20 squares a side. */
function cube(): s.Mesh {
  const cells: [number, number, number][] = [];
  for (let i = 0; i < 20 ** 3; i++) {
    const cell: [number, number, number] = [i % 20, Math.floor(i / 20) % 20, Math.floor(i / 400)];
    if (cell.some((x) => x === 0 || x === 19)) cells.push(cell);
  }
  const mesh = s.polycube(...cells);
  return { positions: mesh.positions.map((x) => 2.5 * x), triangles: mesh.triangles };
}

describe('estimateNoise', () => {
  it.each<[string, s.Mesh, number]>([
    ['a sphere', s.sphere(50, 5), 0.05],
    ['a coarse sphere', s.sphere(50, 4), 0.05],
    ['a ring', s.torus(30, 10, 120, 48), 0.1],
    ['a turned bar', bar(), 0.05],
    ['a cube with its edges', cube(), 0.1],
  ])('finds again what was put on %s, little or much', (_, mesh, tolerance) => {
    for (const sigma of [0.02, 0.05, 0.1, 0.3])
      expect(Math.abs(found(noisy(mesh, sigma)) / sigma - 1)).toBeLessThan(tolerance);
  });

  it('finds none on clean ones, next to none where the facets are coarse, and none on drawn models', () => {
    expect(found(s.sphere(50, 5))).toBeLessThan(0.0005);
    expect(found(s.torus(30, 10, 120, 48))).toBeLessThan(0.01);
    for (const mesh of [cube(), bar(), s.pulley(5, 3, 4), s.box()]) expect(found(mesh)).toBeLessThan(0.0002);
  });

  it('adds to what a scan has of its own as squares do', () => {
    const hare = { ...bunnyMesh(), positions: bunnyMesh().positions.map((x) => 10 * x) };
    const own = found(hare);
    for (const sigma of [0.2, 0.5]) {
      expect(Math.abs(found(noisy(hare, sigma, 3)) / Math.hypot(own, sigma) - 1)).toBeLessThan(0.12);
    }
  });

  it('still finds it in a scan whose triangles were thinned', async () => {
    const scan = s.asPattern(noisy(s.sphere(50, 5), 0.05));
    const { pattern } = await simplifyPattern(scan, { triangles: 8000 });
    const { sigma, corners } = estimateNoise(pattern);
    expect(corners).toBeGreaterThan(1000);
    expect(Math.abs(sigma / 0.05 - 1)).toBeLessThan(0.3);
  });

  it('says how little it was read from where it cannot tell', () => {
    expect(estimateNoise(s.asPattern(s.box()))).toEqual({ sigma: 0, corners: 0 });
  });
});
