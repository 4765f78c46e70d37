import { describe, expect, it } from 'vitest';
import { castColumns, findFlatJoint } from '@oddside/parting';
import { fitSlopedJoint } from '../../packages/parting/src/fit-sloped-joint.js';
import { coarsen, layGrid, levelState, refineState, type Corridor } from '../../packages/parting/src/sloped-grid.js';
import { boundOf, missOf, withinSlope } from '../../packages/parting/src/improve-sloped-joint.js';
import { bunnyMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

function corridorOf(
  mesh: s.Mesh,
  draw: readonly [number, number, number],
  columns: number,
): Corridor & { bar: number } {
  const field = castColumns(s.asPattern(mesh), draw, columns);
  const { cells, nu: width, nv: height, column } = field;
  const low = Float64Array.from({ length: width * height }, (_, i) => cells[4 * i + 1]);
  const high = Float64Array.from({ length: width * height }, (_, i) => cells[4 * i]);
  const bar = findFlatJoint(field).misfitMm3 / (column * column);
  return { width, height, low, high, most: Math.tan(Math.PI / 6) * column, bar };
}

/** Steepest difference between neighbours over what is allowed. */
function steepest({ width, height, most }: Corridor, z: Float64Array): number {
  let worst = 0;
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      for (const [dx, dy] of [
        [1, 0],
        [0, 1],
        [1, 1],
        [-1, 1],
      ]) {
        if (x + dx < 0 || x + dx >= width || row + dy >= height) continue;
        const rise = Math.abs(z[(row + dy) * width + x + dx] - z[row * width + x]);
        worst = Math.max(worst, rise / (most * Math.hypot(dx, dy)));
      }
    }
  }
  return worst;
}

describe('fitSlopedJoint', () => {
  it('closes to a hundredth on a scan from all sides, keeps the slope, and its figures are those of its heights', async () => {
    for (const draw of [
      [0, 0, 1],
      [0, 1, 0],
      [1, 0, 0],
      [0.3, 0.5, 0.8],
      [-0.7, 0.2, 0.4],
    ] as const) {
      const corridor = corridorOf(bunnyMesh(), draw, 64);
      const found = await fitSlopedJoint(corridor, 0, corridor.bar, 0.01, 40, async () => {});
      expect(found.miss - found.least).toBeLessThanOrEqual(0.01 * corridor.bar);
      expect(found.least).toBeLessThanOrEqual(found.miss);
      expect(steepest(corridor, found.heights)).toBeLessThanOrEqual(1 + 1e-9);
      let miss = 0;
      for (const [i, z] of found.heights.entries()) {
        if (corridor.low[i] <= corridor.high[i]) miss += Math.max(0, corridor.low[i] - z, z - corridor.high[i]);
      }
      expect(found.miss).toBeCloseTo(miss, 6);
    }
  });

  it('stopped after any number of looks the bound stays below what a long run finds, and the miss above it', async () => {
    const corridor = corridorOf(s.pinnedStairs(), [0, 0, 1], 32);
    const long = await fitSlopedJoint(corridor, 0, corridor.bar, 1e-5, 200, async () => {});
    expect(long.miss - long.least).toBeLessThan(1e-3 * corridor.bar);
    for (const looks of [1, 2, 4, 8]) {
      const early = await fitSlopedJoint(corridor, 0, corridor.bar, 0, looks, async () => {});
      expect(early.least).toBeLessThanOrEqual(long.miss * (1 + 1e-9));
      expect(early.miss).toBeGreaterThanOrEqual(long.least * (1 - 1e-9));
    }
  });

  it('stops where 32 bits tell no more, far closer than any column is true', async () => {
    for (const [mesh, columns] of [
      [s.pinnedStairs(), 32],
      [bunnyMesh(), 40],
    ] as const) {
      const corridor = corridorOf(mesh, [0, 0, 1], columns);
      let looks = 0;
      const found = await fitSlopedJoint(corridor, 0, corridor.bar, 0, 400, async () => void looks++);
      const metal = corridor.low.map((low, i) => (low <= corridor.high[i] ? i : -1)).filter((i) => i >= 0);
      const range = Math.max(...metal.map((i) => corridor.high[i])) - Math.min(...metal.map((i) => corridor.low[i]));
      expect(found.miss - found.least).toBeLessThanOrEqual(2 ** -22 * range * corridor.width * corridor.height);
      expect(looks).toBeLessThan(400);
    }
  });

  it('progress rises from look to look and ends at most at 1', async () => {
    const corridor = corridorOf(bunnyMesh(), [0, 0, 1], 48);
    const seen: number[] = [];
    await fitSlopedJoint(corridor, 0, corridor.bar, 0.001, 12, async (fraction) => void seen.push(fraction));
    expect(seen.length).toBeGreaterThan(12);
    expect(seen.every((fraction, i) => fraction <= 1 && (i === 0 || fraction >= seen[i - 1]))).toBe(true);
  });

  it('no metal at all: nothing missed', async () => {
    const none = new Float64Array(20 * 20).fill(Infinity);
    const corridor = { width: 20, height: 20, low: none, high: none.map(() => -Infinity), most: 1 };
    expect(await fitSlopedJoint(corridor, 3, 1, 0.01, 2, async () => {})).toMatchObject({ miss: 0, least: 0 });
  });
});

describe('the grids', () => {
  it('a surface within the slope is left alone, a steeper one made good', () => {
    const corridor = corridorOf(bunnyMesh(), [0, 0, 1], 32);
    const grid = layGrid(corridor);
    const { surface } = levelState(grid, 0);
    const [out, scratch] = [surface.slice(), surface.slice()];
    withinSlope(grid, surface, out, scratch);
    for (let row = 1; row <= grid.height; row++) {
      for (let x = 1; x <= grid.width; x++) expect(out[row * grid.stride + x]).toBe(surface[row * grid.stride + x]);
    }
    surface[5 * grid.stride + 5] += 10;
    withinSlope(grid, surface, out, scratch);
    const bare = Float64Array.from({ length: grid.width * grid.height }, (_, i) => {
      const x = i % grid.width;
      return out[((i - x) / grid.width + 1) * grid.stride + x + 1];
    });
    expect(steepest(corridor, bare)).toBeLessThanOrEqual(1 + 1e-12);
  });

  it('a start taken from a coarse grid still proves a bound below the answer', async () => {
    const corridor = corridorOf(bunnyMesh(), [0.3, 0.5, 0.8], 40);
    const coarse = layGrid(coarsen(corridor));
    const state = levelState(coarse, 0);
    const random = s.seededRandom(5);
    for (const price of state.prices) for (let i = 0; i < price.length; i++) price[i] = 0.02 * (random() - 0.5);
    const fine = layGrid(corridor);
    const refined = refineState(coarse, state, fine);
    const found = await fitSlopedJoint(corridor, 0, corridor.bar, 0.01, 40, async () => {});
    expect(boundOf(fine, refined)).toBeLessThanOrEqual(found.miss);
    expect(missOf(fine, refined.surface)).toBeGreaterThan(found.least);
  });
});
