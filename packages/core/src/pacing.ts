/** Long tasks: they yield to the event loop, report how far they are, and stop soon after an abort. */

/** What every slow function takes besides its own options. */
export interface TaskOptions {
  /** Stops the task within about 100 ms; the promise rejects with the signal's reason. */
  readonly signal?: AbortSignal;
  /** Called with a fraction that never falls and ends in exactly one 1. */
  readonly onProgress?: (fraction: number) => void;
}

/** One running task's clock: see {@link startPacing}. */
export interface Pacer {
  /** Call between small pieces of work. Reports the fraction and, every few tens of ms, lets the event loop turn. */
  step(fraction: number): Promise<void>;
  /** Reports the fraction alone, from inside an event. Never throws for an abort. */
  report(fraction: number): void;
  /** Reports the final 1. Call once, last. */
  finish(): void;
}

/** How long a task may hold the event loop, ms. Well under the 100 ms within which an abort must act. */
const HOLD_MS = 24;

/** Starts the clock of one task. Throws the signal's reason at once when it is already aborted. */
export function startPacing(options: TaskOptions = {}): Pacer {
  const { signal, onProgress } = options;
  signal?.throwIfAborted();
  let turned = performance.now();
  let reported = 0;
  const report = (fraction: number): void => {
    if (onProgress && fraction > reported && fraction < 1) {
      reported = fraction;
      onProgress(fraction);
    }
  };
  return {
    report,
    async step(fraction) {
      signal?.throwIfAborted();
      report(fraction);
      if (performance.now() - turned > HOLD_MS) {
        await turnOfTheEventLoop();
        turned = performance.now();
        signal?.throwIfAborted();
      }
    },
    finish() {
      signal?.throwIfAborted();
      onProgress?.(1);
    },
  };
}

/** Resolves after pending events (an abort, a click, a message) have had their turn. */
export function turnOfTheEventLoop(): Promise<void> {
  // No microtask: those run before any event. Where there is no setImmediate a message to oneself does it in microseconds;
  // nested timers are clamped to 4 ms in browsers.
  const { setImmediate: soon } = globalThis as { setImmediate?: (then: () => void) => void };
  return new Promise((resolve) => {
    if (soon) return soon(resolve);
    const { port1, port2 } = new MessageChannel();
    port1.addEventListener('message', () => {
      port1.close();
      resolve();
    });
    port1.start();
    port2.postMessage(null);
  });
}

/** A view of a part of a task's progress: its 0–1 becomes `from`–`to` of the whole, and its final 1 is kept back. */
export function partOfProgress(options: TaskOptions, from: number, to: number): TaskOptions {
  const { signal, onProgress } = options;
  if (!onProgress) return { signal };
  return { signal, onProgress: (fraction) => onProgress(Math.min(from + (to - from) * fraction, 1 - 1e-9)) };
}
