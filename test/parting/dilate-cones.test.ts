import { describe, expect, it } from 'vitest';
import { addCone, spreadCones, startCones, type ConeField } from '../../packages/parting/src/dilate-cones.js';
import * as s from '../helpers/shapes.js';

/** Every column asks every neighbour on every sweep until nothing changes: the same sweeps, nothing left out. */
function spreadPlainly({ width, height, over, tipX, tipY, tipZ, fall, floor }: ConeField): void {
  const take = (x: number, row: number, fromX: number, fromRow: number): boolean => {
    if (fromX < 0 || fromX >= width || fromRow < 0 || fromRow >= height) return false;
    const [i, from] = [row * width + x, fromRow * width + fromX];
    if (over[from] === -Infinity) return false;
    const [dx, dy] = [tipX[from] - x, tipY[from] - row];
    const here = tipZ[from] - fall * Math.sqrt(dx * dx + dy * dy);
    if (!(here > over[i] && here >= floor)) return false;
    [over[i], tipX[i], tipY[i], tipZ[i]] = [here, tipX[from], tipY[from], tipZ[from]];
    return true;
  };
  const hear = (x: number, row: number, way: number): boolean =>
    [take(x, row, x - way, row), ...[-1, 0, 1].map((k) => take(x, row, x + k, row - way))].includes(true);
  let changed = true;
  for (let sweep = 0; changed && sweep < 24; sweep++) {
    changed = false;
    for (let row = 0; row < height; row++) {
      for (let x = 0; x < width; x++) changed = hear(x, row, 1) || changed;
      for (let x = width - 1; x >= 0; x--) changed = take(x, row, x + 1, row) || changed;
    }
    for (let row = height - 1; row >= 0; row--) {
      for (let x = width - 1; x >= 0; x--) changed = hear(x, row, -1) || changed;
      for (let x = 0; x < width; x++) changed = take(x, row, x - 1, row) || changed;
    }
  }
}

describe('spreadCones', () => {
  it('comes to what asking every neighbour on every sweep comes to, bit for bit, seed 41', () => {
    const random = s.seededRandom(41);
    const whole = (most: number): number => Math.floor(random() * most);
    let spread = 0;
    for (let i = 0; i < 150; i++) {
      const [width, height] = [1 + whole(24), 1 + whole(24)];
      const fall = [0, 0.05, 0.4, 1, 6][whole(5)];
      const floor = [-Infinity, -2, 3][whole(3)];
      // Tips on the columns' axes, between them and outside the grid; few, or one nearly everywhere.
      const between = whole(3) === 0;
      const share = [0.02, 0.3, 0.95][whole(3)];
      const tips: [number, number, number][] = [];
      for (let row = -1; row <= height; row++) {
        for (let x = -1; x <= width; x++) {
          if (random() > share) continue;
          const z = [5 * random(), whole(4), x / 4][i % 3];
          tips.push(between ? [x + random() - 0.5, row + random() - 0.5, z] : [x, row, z]);
        }
      }
      if (whole(2) === 0) tips.sort(() => random() - 0.5);
      const [fields, plain] = [startCones(width, height, fall, floor), startCones(width, height, fall, floor)];
      for (const [x, y, z] of tips) for (const field of [fields, plain]) addCone(field, x, y, z);
      const before = plain.over.slice();
      spreadCones(fields);
      spreadPlainly(plain);
      if (plain.over.some((z, k) => z !== before[k])) spread++;
      expect(fields).toEqual(plain);
      // And again, after one more cone was stood.
      for (const field of [fields, plain]) addCone(field, width / 2, height / 2, 7);
      spreadCones(fields);
      spreadPlainly(plain);
      expect(fields).toEqual(plain);
    }
    expect(spread).toBeGreaterThan(75);
  });
});
