/**
 * Threads that try draws side by side. Each draw is tried alone and by the same code, and the answers are put back in the
 * order of the questions, so that the outcome is the same bit for bit however many threads there are.
 */
import { checkNumber, OddsideError } from '@oddside/core';
import { unpackTried, type OpenSearch, type TriedBatch, type TryBatch } from './search-message.js';
import type { TriedDraw } from './try-draw.js';

/** A draw to try. */
export interface DrawToTry {
  readonly direction: readonly [number, number, number];
  readonly from: TriedDraw['from'];
}

/** Threads with a pattern loaded. */
export interface SearchThreads {
  /** Tries draws; answers in the same order. `onDone` is told how many are done. */
  tryDraws(
    draws: readonly DrawToTry[],
    signal: AbortSignal | undefined,
    onDone: (count: number) => void,
  ): Promise<TriedDraw[]>;
  /** Ends the threads. */
  close(): void;
}

/** Draws to a message: enough work to outweigh the message, few enough to share out evenly and to stop soon. */
const BATCH = 16;

interface Thread {
  post(message: { open: OpenSearch } | { work: TryBatch }): void;
  listen(onAnswer: (answer: TriedBatch) => void, onFailure: (error: unknown) => void): void;
  end(): void;
}

/**
 * Starts threads.
 *
 * @param count 1–64.
 * @throws OddsideError `missing-engine` where the platform has no threads or the worker's file cannot be loaded.
 */
export async function openSearchThreads(open: OpenSearch, count: number): Promise<SearchThreads> {
  checkNumber('threads', count, { min: 1, max: 64, whole: true });
  const shared = shareArrays(open);
  const threads = await Promise.all(Array.from({ length: count }, startThread));
  for (const thread of threads) thread.post({ open: shared });
  return {
    tryDraws: (draws, signal, onDone) => shareOut(threads, draws, signal, onDone),
    close: () => {
      for (const thread of threads) thread.end();
    },
  };
}

function shareOut(
  threads: readonly Thread[],
  draws: readonly DrawToTry[],
  signal: AbortSignal | undefined,
  onDone: (count: number) => void,
): Promise<TriedDraw[]> {
  return new Promise((resolve, reject) => {
    const tried: TriedDraw[] = Array.from({ length: draws.length });
    let next = 0;
    let done = 0;
    const stop = (): void => reject(signal?.reason);
    signal?.throwIfAborted();
    signal?.addEventListener('abort', stop, { once: true });
    const finish = (settle: () => void): void => {
      signal?.removeEventListener('abort', stop);
      settle();
    };
    const feed = (thread: Thread): void => {
      if (next >= draws.length || signal?.aborted) return;
      const batch = next;
      const part = draws.slice(batch, batch + BATCH);
      next += part.length;
      thread.post({ work: { batch, directions: Float64Array.from(part.flatMap(({ direction }) => direction)) } });
    };
    for (const thread of threads) {
      thread.listen(
        ({ batch, tried: packed }) => {
          const count = Math.min(BATCH, draws.length - batch);
          for (let i = 0; i < count; i++) tried[batch + i] = unpackTried(packed, i, draws[batch + i].from);
          done += count;
          onDone(done);
          if (done === draws.length) finish(() => resolve(tried));
          else feed(thread);
        },
        (error) => finish(() => reject(noThreads(error))),
      );
      feed(thread);
    }
    if (draws.length === 0) finish(() => resolve(tried));
  });
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
