import { describe, expect, it } from 'vitest';
import { compileKernel } from '../../packages/parting/build-kernel.mjs';
import { layGrid, levelState, type Corridor } from '../../packages/parting/src/sloped-grid.js';
import { SLOPED_KERNEL_BYTES } from '../../packages/parting/src/sloped-kernel-bytes.js';
import { startRounds } from '../../packages/parting/src/sloped-rounds.js';
import { seededRandom } from '../helpers/random.js';

/** A corridor of random spans, with a hole in it, and none in some columns. */
function randomCorridor(width: number, height: number, seed: number): Corridor {
  const random = seededRandom(seed);
  const low = Float64Array.from({ length: width * height }, () => 10 * random());
  const high = low.map((z) => z + 3 * random());
  for (let i = 0; i < low.length; i++) {
    if (random() < 0.2) [low[i], high[i]] = [Infinity, -Infinity];
  }
  return { width, height, low, high, most: 0.4 };
}

describe('the rounds of a sloped joint', () => {
  it('run in the kernel that its source gives (if not: node packages/parting/build-kernel.mjs)', async () => {
    expect(Buffer.from(await compileKernel('sloped')).toString('base64')).toBe(SLOPED_KERNEL_BYTES);
  });

  it('are the same in the kernel and without it, bit for bit (seeds 1 to 6)', () => {
    const sizes = [
      [1, 1],
      [1, 9],
      [8, 1],
      [7, 12],
      [16, 11],
      [33, 40],
    ];
    for (const [k, [width, height]] of sizes.entries()) {
      const grid = layGrid(randomCorridor(width, height, k + 1));
      const level = levelState(grid, 4);
      const kernel = startRounds(grid, level);
      const plain = startRounds(grid, level, false);
      for (let round = 1; round <= 60; round++) {
        const last = round % 20 === 0;
        const steps = { step: 0.3, rate: 0.2, keep: last ? 1 : round / (round + 1), beyond: last ? 0 : 1 } as const;
        kernel.improve(steps);
        plain.improve(steps);
      }
      // Were there no kernel here, both would be the same plain rounds.
      expect(kernel.inKernel).toBe(true);
      expect(plain.inKernel).toBe(false);
      const [seen, expected] = [kernel.look(), plain.look()];
      expect(Array.from(seen.surface)).toEqual(Array.from(expected.surface));
      seen.prices.forEach((price, s) => expect(Array.from(price)).toEqual(Array.from(expected.prices[s])));
      if (width > 1) expect(seen.prices[0].some((price) => price !== 0)).toBe(true);
    }
  });

  it('leave the state they start from as it is', () => {
    const grid = layGrid(randomCorridor(9, 9, 3));
    const level = levelState(grid, 4);
    startRounds(grid, level).improve({ step: 0.3, rate: 0.2, keep: 0.5, beyond: 1 });
    expect(level).toEqual(levelState(grid, 4));
  });
});
