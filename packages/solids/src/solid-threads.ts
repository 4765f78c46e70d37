/**
 * Threads that make solids. Work waits in one line; a thread that has nothing to do takes the first piece that it may take.
 * What it makes of it does not hang on which thread that is.
 */
import { OddsideError, startThread, type Thread } from '@oddside/core';
import { unpackError, type DoneOf, type Posted, type Returned, type Work } from './solid-work.js';
import { disposedOf } from './solids.js';

/** How work is asked for. */
export interface AskOptions {
  /** Memory that is handed over with it. */
  readonly transfer?: readonly ArrayBufferLike[];
  /** The half that it belongs to: all of one half goes to one thread. */
  readonly half?: number | undefined;
  readonly signal?: AbortSignal | undefined;
  readonly onProgress?: ((fraction: number) => void) | undefined;
}

/** Threads that are open. */
export interface SolidThreads {
  readonly count: number;
  /** @throws What the work throws, the signal's reason, the platform's `DataCloneError` where the work cannot be posted. */
  ask<W extends Work>(work: W, options?: AskOptions): Promise<DoneOf<W>>;
  /** A number for a half that is to stay in a thread, or for its split. */
  nextNumber(): number;
  /** Frees a half. */
  leave(half: number): void;
  /** Ends the threads at once. */
  close(): void;
}

/** A piece of work. */
interface Piece extends AskOptions {
  readonly number: number;
  readonly work: Work;
  readonly resolve: (done: never) => void;
  readonly reject: (error: unknown) => void;
  /** Forgets the signal; called once it is settled. */
  readonly settle: () => void;
}

interface Bench {
  thread: Thread<Posted, Returned>;
  /** Does something, also where nobody waits for it any more. */
  busy: boolean;
}

/** A thread that has not stopped so long after it was asked to is ended, and another started in its place, ms. */
const GRACE_MS = 500;

/** Starts threads and waits until their kernels are loaded. @throws OddsideError `missing-engine`. */
export async function openSolidThreads(count: number): Promise<SolidThreads> {
  const threads = new Threads(count);
  try {
    await threads.open();
  } catch (error) {
    threads.close();
    throw error;
  }
  return threads;
}

class Threads implements SolidThreads {
  readonly count: number;
  readonly #benches: Bench[] = [];
  readonly #line: Piece[] = [];
  /** What somebody waits for, by its number. */
  readonly #asked = new Map<number, Piece>();
  readonly #running = new Map<number, Bench>();
  readonly #benchOf = new Map<number, Bench>();
  #numbers = 0;
  #opened = false;
  #broken: OddsideError | null = null;

  constructor(count: number) {
    this.count = count;
  }

  async open(): Promise<void> {
    for (let k = 0; k < this.count; k++) {
      const bench: Bench = { thread: await startOne(), busy: false };
      this.#benches.push(bench);
      this.#listen(bench);
    }
    // As many pieces of work as threads, all free: each takes one.
    await Promise.all(this.#benches.map(() => this.ask({ kind: 'open' })));
    this.#opened = true;
  }

  ask<W extends Work>(work: W, options: AskOptions = {}): Promise<DoneOf<W>> {
    return new Promise((resolve, reject) => {
      if (this.#broken) return reject(this.#broken);
      const { signal } = options;
      if (signal?.aborted) return reject(signal.reason);
      const number = this.#numbers++;
      const stop = (): void => this.#stop(number, signal!.reason);
      const settle = (): void => signal?.removeEventListener('abort', stop);
      signal?.addEventListener('abort', stop, { once: true });
      const piece: Piece = { ...options, number, work, resolve, reject, settle };
      this.#asked.set(number, piece);
      this.#line.push(piece);
      this.#deal();
    });
  }

  nextNumber(): number {
    return this.#numbers++;
  }

  leave(half: number): void {
    const bench = this.#benchOf.get(half);
    this.#benchOf.delete(half);
    if (bench && !this.#broken) bench.thread.post({ leave: half });
  }

  close(): void {
    this.#broken ??= disposedOf();
    for (const { thread } of this.#benches) thread.end();
  }

  /** Gives work to threads that have none. */
  #deal(): void {
    for (const bench of this.#benches) {
      while (!bench.busy) {
        // What goes on from a half that is there comes before what may be done anywhere.
        let at = this.#line.findIndex(({ half }) => half !== undefined && this.#benchOf.get(half) === bench);
        if (at < 0) at = this.#line.findIndex(({ half }) => half === undefined || !this.#benchOf.has(half));
        if (at < 0) break;
        this.#start(bench, this.#line.splice(at, 1)[0]);
      }
    }
    this.#rest();
  }

  #start(bench: Bench, piece: Piece): void {
    const { number, work, half, transfer } = piece;
    try {
      bench.thread.post({ number, work }, transfer);
    } catch (error) {
      this.#settle(number)?.reject(error);
      return;
    }
    bench.busy = true;
    if (half !== undefined) this.#benchOf.set(half, bench);
    this.#running.set(number, bench);
  }

  #listen(bench: Bench): void {
    const { thread } = bench;
    thread.listen(
      (returned) => this.#hear(bench, returned),
      (error) => bench.thread === thread && this.#break(error),
    );
  }

  #hear(bench: Bench, returned: Returned): void {
    const { number } = returned;
    // The last words of a thread that was ended.
    if (this.#running.get(number) !== bench) return;
    if ('fraction' in returned) {
      try {
        this.#asked.get(number)?.onProgress?.(returned.fraction);
      } catch (error) {
        // As without threads: what the caller's own function throws ends the task.
        this.#stop(number, error);
      }
      return;
    }
    bench.busy = false;
    this.#running.delete(number);
    const piece = this.#settle(number);
    if ('failed' in returned) piece?.reject(unpackError(returned.failed));
    else piece?.resolve(returned.done as never);
    this.#deal();
  }

  /** Nobody waits for it any more: whoever did hears why, at once. */
  #stop(number: number, reason: unknown): void {
    const at = this.#line.findIndex((piece) => piece.number === number);
    if (at >= 0) this.#line.splice(at, 1);
    else this.#running.get(number)?.thread.post({ stop: number });
    this.#settle(number)?.reject(reason);
    this.#rest();
    this.#endLater(number);
  }

  /** An operation of the kernel hears nothing until it is over, which may be long. */
  #endLater(number: number): void {
    if (!this.#running.has(number)) return;
    const timer: unknown = setTimeout(() => {
      const bench = this.#running.get(number);
      if (!bench || this.#broken) return;
      // What others keep there must stay.
      if (Array.from(this.#benchOf.values()).includes(bench)) this.#endLater(number);
      else void this.#replace(bench, number);
    }, GRACE_MS);
    // In Node no reason for the program to go on.
    (timer as { unref?: () => void }).unref?.();
  }

  async #replace(bench: Bench, number: number): Promise<void> {
    this.#running.delete(number);
    bench.thread.end();
    try {
      const thread = await startOne();
      if (this.#broken) return thread.end();
      bench.thread = thread;
      bench.busy = false;
      this.#listen(bench);
      this.#deal();
    } catch (error) {
      this.#break(error);
    }
  }

  #settle(number: number): Piece | undefined {
    const piece = this.#asked.get(number);
    this.#asked.delete(number);
    piece?.settle();
    return piece;
  }

  /** A thread died: none is trusted any more. */
  #break(error: unknown): void {
    this.#broken ??= this.#opened ? brokenBy(error) : noThreads(error);
    for (const number of this.#asked.keys()) this.#settle(number)?.reject(this.#broken);
    this.#line.length = 0;
    this.close();
  }

  /** Lets the program end where nobody waits for anything. */
  #rest(): void {
    for (const { thread } of this.#benches) thread.holdOpen(this.#asked.size > 0);
  }
}

async function startOne(): Promise<Thread<Posted, Returned>> {
  try {
    return await startThread(
      new URL('./solids-worker.js', import.meta.url),
      () => new Worker(new URL('./solids-worker.js', import.meta.url), { type: 'module' }),
    );
  } catch (error) {
    throw noThreads(error);
  }
}

const said = (error: unknown): string => (error instanceof Error ? ` (${error.message})` : '');

function noThreads(cause: unknown): OddsideError {
  return new OddsideError(
    'missing-engine',
    `Threads were asked for, but none could be started${said(cause)}. Ask for threads: 0 to do without.`,
    {},
    { cause },
  );
}

function brokenBy(cause: unknown): OddsideError {
  return new OddsideError(
    'infeasible',
    `A thread that makes solids ended before it was done${said(cause)}. Call openSolids() again, with fewer triangles or fewer threads.`,
    {},
    { cause },
  );
}
