// Threads run the built package: a worker's file must be plain JavaScript.
import { advisePartings, jointLadder, openPartingThreads } from '../../packages/parting/dist/index.js';
import { describe, expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { asPattern } from '../helpers/shapes.js';

const hare = asPattern(bunnyMesh());
const quick = { samples: 150, columns: 64, candidates: 3 };

describe('searching with threads', () => {
  test('gives the same advice bit for bit as searching without', async () => {
    const [alone, one, two] = [
      await advisePartings(hare, quick),
      await advisePartings(hare, { ...quick, threads: 1 }),
      await advisePartings(hare, { ...quick, threads: 2 }),
    ];
    expect(one).toEqual(alone);
    expect(two).toEqual(alone);
  });

  test('reports progress that never falls and ends in one 1', async () => {
    const seen: number[] = [];
    await advisePartings(hare, { ...quick, threads: 2, onProgress: (fraction) => seen.push(fraction) });
    expect(seen.filter((fraction) => fraction === 1)).toEqual([1]);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
    expect(seen.length).toBeGreaterThan(5);
  });

  test('stops with the reason of the abort, and leaves no thread behind', async () => {
    const stop = new AbortController();
    const reason = new Error('the kettle boiled over');
    const run = advisePartings(hare, { ...quick, samples: 20_000, threads: 2, signal: stop.signal });
    setTimeout(() => stop.abort(reason), 150);
    await expect(run).rejects.toBe(reason);
  });

  test('a silly number of threads is refused', async () => {
    await expect(advisePartings(hare, { threads: 65 })).rejects.toThrow(/threads must be a whole number/);
  });

  test('threads that are kept open help again and again, several calls at once, with the same outcome', async () => {
    const threads = await openPartingThreads(2);
    try {
      const alone = await advisePartings(hare, { ...quick, joints: false });
      const draws = alone.candidates.map(({ direction }) => direction);
      const [advice, again, ...ladders] = await Promise.all([
        advisePartings(hare, { ...quick, joints: false, threads }),
        advisePartings(hare, { ...quick, joints: false, threads }),
        ...draws.map((draw) => jointLadder(hare, draw, { columns: 48, threads })),
      ]);
      expect(advice).toEqual(alone);
      expect(again).toEqual(alone);
      for (const [i, ladder] of ladders.entries()) {
        expect(ladder).toEqual(await jointLadder(hare, draws[i], { columns: 48 }));
      }
    } finally {
      threads.close();
    }
  });

  test('an abort is heard while a thread fits a joint', async () => {
    const threads = await openPartingThreads(1);
    const stop = new AbortController();
    const reason = new Error('the sand was wet');
    const ladder = jointLadder(hare, [0.3, 0.2, 0.9], { columns: 192, threads, signal: stop.signal });
    setTimeout(() => stop.abort(reason), 10);
    await expect(ladder).rejects.toBe(reason);
    threads.close();
  });

  test('threads that were closed say so', async () => {
    const threads = await openPartingThreads(1);
    threads.close();
    await expect(advisePartings(hare, { ...quick, threads })).rejects.toThrow(/threads were closed/);
    await expect(openPartingThreads(0)).rejects.toThrow(/threads/);
    const none = { count: 1, close: () => undefined };
    await expect(advisePartings(hare, { ...quick, threads: none })).rejects.toThrow(
      /a number or what openPartingThreads returned; a value of type object came/,
    );
  });
});
