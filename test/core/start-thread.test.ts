import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { orAborted, startThread, type Thread } from '@oddside/core';

// Threads run the built package: a worker's file must be plain JavaScript.
const CORE = pathToFileURL(fileURLToPath(new URL('../../packages/core/dist/index.js', import.meta.url))).href;
const folder = mkdtempSync(join(tmpdir(), 'oddside-thread-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const inNode = (): object => {
  throw new Error('Node has its own threads.');
};

/** A thread that runs some code, and the messages and failures that come of it. */
async function start(
  name: string,
  code: string,
): Promise<{ thread: Thread<unknown, unknown>; heard: unknown[]; next: () => Promise<unknown> }> {
  const file = join(folder, `${name}.mjs`);
  writeFileSync(file, `import { answerPosts } from ${JSON.stringify(CORE)};\n${code}`);
  const thread = await startThread<unknown, unknown>(pathToFileURL(file), inNode);
  const heard: unknown[] = [];
  let wake = (): void => undefined;
  const hear = (what: unknown): void => {
    heard.push(what);
    wake();
  };
  thread.listen(hear, (error) => hear(String(error)));
  const next = async (): Promise<unknown> => {
    while (heard.length === 0) await new Promise<void>((resolve) => (wake = resolve));
    return heard.shift();
  };
  return { thread, heard, next };
}

describe('a thread', () => {
  it('hears what was posted before it woke up, in order, and hands memory over both ways', async () => {
    const { thread, next } = await start(
      'double',
      `answerPosts((list, answer) => { const out = list.map((x) => 2 * x); answer(out, [out.buffer]); answer(out.length); });`,
    );
    const [one, two] = [Float64Array.of(1, 2, 3), Float64Array.of(4)];
    thread.post(one, [one.buffer]);
    thread.post(two);
    expect(await next()).toEqual(Float64Array.of(2, 4, 6));
    expect(await next()).toBe(0);
    expect(await next()).toEqual(Float64Array.of(8));
    expect([one.length, two.length]).toEqual([0, 1]);
    expect(() => thread.post(() => 1)).toThrow(/could not be cloned/);
    thread.end();
  });

  it('tells that it died, that its file is missing, and that it ended by itself, but not that it was ended', async () => {
    const dies = await start('dies', `answerPosts(() => { throw new Error('the rope broke'); });`);
    dies.thread.post(1);
    expect(await dies.next()).toMatch(/the rope broke/);
    const none = await startThread<unknown, unknown>(pathToFileURL(join(folder, 'none.mjs')), inNode);
    expect(await new Promise((resolve) => none.listen(resolve, (error) => resolve(String(error))))).toMatch(
      /none\.mjs/,
    );
    const leaves = await start('leaves', `answerPosts(() => process.exit(3));`);
    leaves.thread.post(1);
    expect(await leaves.next()).toMatch(/ended by itself, with code 3/);
    const ended = await start('ended', `answerPosts((_, answer) => answer('up'));`);
    ended.thread.post(1);
    expect(await ended.next()).toBe('up');
    ended.thread.end();
    // While another lives its whole life, the first has long ended.
    const other = await start('other', `answerPosts(() => process.exit(4));`);
    other.thread.post(1);
    expect(await other.next()).toMatch(/with code 4/);
    expect(ended.heard).toEqual([]);
  });
});

describe('waiting for work or for an abort', () => {
  it('gives what comes first', async () => {
    const stop = new AbortController();
    expect(await orAborted(Promise.resolve(3), stop.signal)).toBe(3);
    expect(await orAborted(Promise.resolve(4), undefined)).toBe(4);
    await expect(orAborted(Promise.reject(new Error('burnt')), stop.signal)).rejects.toThrow('burnt');
    const never = orAborted(new Promise(() => undefined), stop.signal);
    stop.abort(new Error('tea'));
    await expect(never).rejects.toThrow('tea');
    await expect(orAborted(Promise.resolve(5), stop.signal)).rejects.toThrow('tea');
  });
});
