import { describe, expect, it } from 'vitest';
import { drainSteps, paceSteps, partOfSteps, startPacing, type Steps } from '@oddside/core';

function* count(to: number, done: number[]): Steps<number> {
  for (let i = 1; i <= to; i++) {
    done.push(i);
    yield i / to;
  }
  return to;
}

describe('drainSteps and paceSteps', () => {
  it('give the same result, and progress within the part asked for', async () => {
    expect(drainSteps(count(4, []))).toBe(4);
    const seen: number[] = [];
    const pacer = startPacing({ onProgress: (fraction) => seen.push(fraction) });
    expect(await paceSteps(count(4, []), pacer, 0.2, 0.6)).toBe(4);
    expect(seen.map((fraction) => Number(fraction.toFixed(9)))).toEqual([0.3, 0.4, 0.5, 0.6]);
  });

  it('take work that is a part of other work', () => {
    const steps = partOfSteps(count(2, []), 0.5, 0.7);
    expect([...steps].map((fraction) => Number(fraction.toFixed(9)))).toEqual([0.6, 0.7]);
    expect(drainSteps(partOfSteps(count(3, []), 0, 1))).toBe(3);
  });

  it('stop at the next yield after an abort, with its reason', async () => {
    const stop = new AbortController();
    const done: number[] = [];
    const pacer = startPacing({ signal: stop.signal, onProgress: () => stop.abort(new Error('enough')) });
    await expect(paceSteps(count(9, done), pacer)).rejects.toThrow('enough');
    expect(done).toEqual([1, 2]);
  });
});
