/**
 * Threads that try draws side by side. Each draw is tried alone and by the same code, and the answers are put back in the
 * order of the questions, so that the outcome is the same bit for bit however many threads there are.
 */
import { checkNumber, OddsideError } from '@oddside/core';
import { TRIED_STRIDE, unpackTried, type OpenSearch, type TriedBatch, type TryBatch } from './search-message.js';
import type { TriedDraw } from './try-draw.js';

/** A draw to try. */
export interface DrawToTry {
  readonly direction: readonly [number, number, number];
  readonly from: TriedDraw['from'];
}

/** Draws being tried side by side; answers are put where their questions stand. */
export interface SharedDraws {
  /** Takes the next draws for the caller's own thread; `undefined` when none are left. */
  take(count: number): { readonly from: number; readonly to: number } | undefined;
  /** Tells that those are done. */
  give(taken: { readonly from: number; readonly to: number }): void;
  /** Share of all draws that are done, 0–1. */
  part(): number;
  /** Settles when all are done or the signal is given. */
  readonly finished: Promise<void>;
}

/** Threads that help to try draws. */
export interface SearchThreads {
  /** Loads a pattern and begins to try draws; `tried` is filled in the same order. */
  share(
    open: OpenSearch,
    draws: readonly DrawToTry[],
    tried: TriedDraw[],
    signal: AbortSignal | undefined,
  ): SharedDraws;
  /** Ends the threads. */
  close(): void;
}

/** Draws to a message: enough work to outweigh the message, few enough to share out evenly and to stop soon. */
const BATCH = 16;
/** Messages a thread has waiting, so that it never idles while this one is busy. */
const AHEAD = 2;

interface Thread {
  post(message: { open: OpenSearch } | { work: TryBatch }): void;
  listen(onAnswer: (answer: TriedBatch) => void, onFailure: (error: unknown) => void): void;
  end(): void;
}

/**
 * Starts threads. They need some 50 ms to wake up; this returns at once.
 *
 * @param count 1–64.
 * @throws OddsideError `missing-engine` where the platform has no threads or the worker's file cannot be loaded.
 */
export async function openSearchThreads(count: number): Promise<SearchThreads> {
  checkNumber('threads', count, { min: 1, max: 64, whole: true });
  const threads = await Promise.all(Array.from({ length: count }, startThread));
  return {
    share: (open, draws, tried, signal) => shareOut(threads, shareArrays(open), draws, tried, signal),
    close: () => {
      for (const thread of threads) thread.end();
    },
  };
}

function shareOut(
  threads: readonly Thread[],
  open: OpenSearch,
  draws: readonly DrawToTry[],
  tried: TriedDraw[],
  signal: AbortSignal | undefined,
): SharedDraws {
  let next = 0;
  let done = 0;
  let settle = { resolve: (): void => undefined, reject: (_reason: unknown): void => undefined };
  const finished = new Promise<void>((resolve, reject) => (settle = { resolve, reject }));
  // Whoever waits for it hears of a failure; until then it is nobody's fault.
  finished.catch(() => undefined);
  const stop = (): void => settle.reject(signal?.reason);
  signal?.addEventListener('abort', stop, { once: true });
  const finish = (end: () => void): void => {
    signal?.removeEventListener('abort', stop);
    end();
  };
  const take = (count: number): { from: number; to: number } | undefined => {
    if (next >= draws.length || signal?.aborted) return undefined;
    const from = next;
    next = Math.min(draws.length, next + count);
    return { from, to: next };
  };
  const give = ({ from, to }: { from: number; to: number }): void => {
    done += to - from;
    if (done === draws.length) finish(settle.resolve);
  };
  const feed = (thread: Thread): void => {
    const taken = take(BATCH);
    if (!taken) return;
    const directions = Float64Array.from(draws.slice(taken.from, taken.to).flatMap(({ direction }) => direction));
    thread.post({ work: { batch: taken.from, directions } });
  };
  for (const thread of threads) {
    thread.post({ open });
    thread.listen(
      ({ batch, tried: packed }) => {
        const to = Math.min(draws.length, batch + packed.length / TRIED_STRIDE);
        for (let i = batch; i < to; i++) tried[i] = unpackTried(packed, i - batch, draws[i].from);
        give({ from: batch, to });
        feed(thread);
      },
      (error) => finish(() => settle.reject(noThreads(error))),
    );
    for (let k = 0; k < AHEAD; k++) feed(thread);
  }
  if (draws.length === 0) finish(settle.resolve);
  if (signal?.aborted) stop();
  return { take, give, part: () => (draws.length > 0 ? done / draws.length : 1), finished };
}

/** Resolves after pending messages have been heard. */
export function turnOfEvents(): Promise<void> {
  // Where there is setImmediate it costs microseconds, where there is not a timer costs milliseconds but still works.
  const { setImmediate: soon } = globalThis as { setImmediate?: (then: () => void) => void };
  return new Promise((resolve) => (soon ? soon(resolve) : setTimeout(resolve, 0)));
}

/** Shared memory where the platform allows it, so that a large scan is not copied once a thread. */
function shareArrays(open: OpenSearch): OpenSearch {
  const isolated = (globalThis as { crossOriginIsolated?: boolean }).crossOriginIsolated ?? true;
  if (typeof SharedArrayBuffer === 'undefined' || !isolated) return open;
  const positions = new Float64Array(new SharedArrayBuffer(open.positions.byteLength));
  const triangles = new Uint32Array(new SharedArrayBuffer(open.triangles.byteLength));
  positions.set(open.positions);
  triangles.set(open.triangles);
  return { ...open, positions, triangles };
}

async function startThread(): Promise<Thread> {
  if (typeof process === 'object' && process.versions?.node) return startNodeThread();
  if (typeof Worker === 'undefined') throw noThreads(undefined);
  const worker = new Worker(new URL('./search-worker.js', import.meta.url), { type: 'module' });
  const heard: { answer: (answer: TriedBatch) => void; failure: (error: unknown) => void } = {
    answer: () => undefined,
    failure: () => undefined,
  };
  worker.addEventListener('message', (event) => heard.answer(event.data as TriedBatch));
  worker.addEventListener('error', (event) => heard.failure(new Error(event.message)));
  return {
    post: (message) => worker.postMessage(message),
    listen: (onAnswer, onFailure) => {
      heard.answer = onAnswer;
      heard.failure = onFailure;
    },
    end: () => worker.terminate(),
  };
}

async function startNodeThread(): Promise<Thread> {
  const threads = await import(/* @vite-ignore */ 'node:worker_threads');
  // The thread needs none of the program's own flags (a loader, a debugger's port).
  const worker = new threads.Worker(new URL('./search-worker.js', import.meta.url), { execArgv: [] });
  return {
    post: (message) => worker.postMessage(message),
    listen: (onAnswer, onFailure) => {
      worker.removeAllListeners();
      worker.on('message', onAnswer);
      worker.on('error', onFailure);
    },
    end: () => void worker.terminate(),
  };
}

function noThreads(cause: unknown): OddsideError {
  return new OddsideError(
    'missing-engine',
    `The search was asked to use threads, but none could be started${cause instanceof Error ? ` (${cause.message})` : ''}. Ask for threads: 0 to search in one.`,
    {},
    { cause },
  );
}
