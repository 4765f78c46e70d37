import { partOfProgress, startPacing, turnOfTheEventLoop, type TaskOptions } from '@oddside/core';
import * as fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';

afterEach(() => {
  vi.restoreAllMocks();
});

/** A task of `pieces` pieces that says how far it is, also when that is nonsense. */
async function work(fractions: readonly number[], options: TaskOptions): Promise<void> {
  const pacer = startPacing(options);
  for (const fraction of fractions) await pacer.step(fraction);
  pacer.finish();
}

describe('progress', () => {
  it('never falls, stays within 0–1, and ends in exactly one 1, whatever a task reports (seed 13)', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.oneof(fc.double(), fc.double({ min: 0, max: 1 }), fc.constant(1))),
        async (fractions) => {
          const heard: number[] = [];
          await work(fractions, { onProgress: (fraction) => heard.push(fraction) });
          expect(heard.at(-1)).toBe(1);
          expect(heard.filter((fraction) => fraction === 1)).toHaveLength(1);
          for (let i = 0; i < heard.length; i++) {
            expect(heard[i]).toBeGreaterThan(i === 0 ? 0 : heard[i - 1]);
            expect(heard[i]).toBeLessThanOrEqual(1);
          }
        },
      ),
      { seed: 13 },
    );
  });

  it('reports each new fraction as it comes', async () => {
    const heard: number[] = [];
    await work([0.25, 0.25, 0.1, 0.5], { onProgress: (fraction) => heard.push(fraction) });
    expect(heard).toEqual([0.25, 0.5, 1]);
  });

  it('needs neither a listener nor options', async () => {
    await expect(work([0.5], {})).resolves.toBeUndefined();
    const pacer = startPacing();
    await pacer.step(0.5);
    expect(() => pacer.finish()).not.toThrow();
  });
});

describe('abort', () => {
  it('throws the reason at once when the signal is already aborted, before any progress', () => {
    const reason = new Error('changed my mind');
    const onProgress = vi.fn<(fraction: number) => void>();
    expect(() => startPacing({ signal: AbortSignal.abort(reason), onProgress })).toThrow(reason);
    expect(onProgress).not.toHaveBeenCalled();
  });

  it('stops a task that would never end, with the reason of the signal', async () => {
    const controller = new AbortController();
    const reason = { why: 'the furnace is cold' };
    const endless = (async () => {
      const pacer = startPacing({ signal: controller.signal });
      for (;;) await pacer.step(0.5);
    })();
    setTimeout(() => controller.abort(reason), 1);
    await expect(endless).rejects.toBe(reason);
  });

  it('gives an AbortError when no reason was given', async () => {
    const controller = new AbortController();
    const pacer = startPacing({ signal: controller.signal });
    controller.abort();
    await expect(pacer.step(0.1)).rejects.toMatchObject({ name: 'AbortError' });
    expect(() => pacer.finish()).toThrow(expect.objectContaining({ name: 'AbortError' }));
  });

  it('reports nothing more once aborted', async () => {
    const controller = new AbortController();
    const heard: number[] = [];
    const pacer = startPacing({ signal: controller.signal, onProgress: (fraction) => heard.push(fraction) });
    await pacer.step(0.2);
    controller.abort();
    await expect(pacer.step(0.9)).rejects.toThrow();
    expect(() => pacer.finish()).toThrow();
    expect(heard).toEqual([0.2]);
  });

  it('lets pending events have their turn before a task has held the loop for 100 ms', async () => {
    // The clock is ours: each piece of work takes 8 ms, so the test says nothing about the machine.
    let clock = 0;
    vi.spyOn(performance, 'now').mockImplementation(() => clock);
    const controller = new AbortController();
    const reason = new Error('stop');
    let pieces = 0;
    // A timer would need a real millisecond, which passes slower than our clock.
    setImmediate(() => controller.abort(reason));
    const task = (async () => {
      const pacer = startPacing({ signal: controller.signal });
      for (; pieces < 10_000; pieces++) {
        clock += 8;
        await pacer.step(pieces / 10_000);
      }
    })();
    await expect(task).rejects.toBe(reason);
    expect(pieces * 8).toBeLessThan(100);
  });

  it('does not give up the loop for pieces that take no time', async () => {
    vi.spyOn(performance, 'now').mockReturnValue(0);
    const timers = vi.spyOn(globalThis, 'setTimeout');
    const turns = vi.spyOn(globalThis, 'setImmediate');
    await work(
      Array.from({ length: 1000 }, (_, i) => i / 1000),
      {},
    );
    expect(timers).not.toHaveBeenCalled();
    expect(turns).not.toHaveBeenCalled();
  });

  it('lets events have their turn where there is no setImmediate, as in a browser, and sets no timer for it', async () => {
    vi.stubGlobal('setImmediate', undefined);
    const heard: string[] = [];
    setTimeout(() => heard.push('the timer'), 0);
    const timers = vi.spyOn(globalThis, 'setTimeout');
    for (let turn = 0; heard.length === 0 && turn < 100_000; turn++) await turnOfTheEventLoop();
    expect(heard).toEqual(['the timer']);
    expect(timers).not.toHaveBeenCalled();
    vi.unstubAllGlobals();
  });
});

describe('partOfProgress', () => {
  it('maps 0–1 onto its part and keeps the final 1 back', () => {
    const heard: number[] = [];
    const { signal } = new AbortController();
    const part = partOfProgress({ signal, onProgress: (fraction) => heard.push(fraction) }, 0.5, 1);
    expect(part.signal).toBe(signal);
    part.onProgress?.(0);
    part.onProgress?.(0.5);
    part.onProgress?.(1);
    expect(heard.slice(0, 2)).toEqual([0.5, 0.75]);
    expect(heard[2]).toBeLessThan(1);
    expect(heard[2]).toBeGreaterThan(0.99);
  });

  it('stays silent when nobody listens, and still passes the signal on', () => {
    const { signal } = new AbortController();
    expect(partOfProgress({ signal }, 0, 0.5)).toEqual({ signal });
  });

  it('two tasks one after the other make one whole: never falling, one 1', async () => {
    const heard: number[] = [];
    const options = { onProgress: (fraction: number) => void heard.push(fraction) };
    const pacer = startPacing(options);
    await work([0.3, 0.9], partOfProgress(options, 0, 0.4));
    await work([0.5], partOfProgress(options, 0.4, 1));
    pacer.finish();
    expect(heard).toEqual([...heard].sort((a, b) => a - b));
    expect(heard.filter((fraction) => fraction === 1)).toHaveLength(1);
    expect(heard.at(-1)).toBe(1);
    expect(heard).toContain(0.4);
  });
});
