/**
 * One algorithm, two ways to run it. Long work is written as a generator that yields how far it is (0–1) every few
 * milliseconds; a synchronous caller drains it, an asynchronous one paces it. The hot loops inside stay plain functions.
 */
import { startPacing, type Pacer, type TaskOptions } from './pacing.js';

/** Work in small pieces; each yield is the fraction done. */
export type Steps<T> = Generator<number, T, void>;

/** Runs to the end without a pause. */
export function drainSteps<T>(steps: Steps<T>): T {
  let next = steps.next();
  while (!next.done) next = steps.next();
  return next.value;
}

/** Runs with pauses: reports progress between `from` and `to` (0–1) and lets an abort act. */
export async function paceSteps<T>(steps: Steps<T>, pacer: Pacer, from = 0, to = 1): Promise<T> {
  let next = steps.next();
  while (!next.done) {
    await pacer.step(from + (to - from) * next.value);
    next = steps.next();
  }
  return next.value;
}

/** Runs to the end as a task of its own: with pauses, progress and a last 1. Rejects with the signal's reason when aborted. */
export async function runSteps<T>(steps: Steps<T>, task: TaskOptions): Promise<T> {
  const pacer = startPacing(task);
  const result = await paceSteps(steps, pacer);
  pacer.finish();
  return result;
}

/** Work that is a part of other work: its 0–1 becomes `from`–`to`. */
export function* partOfSteps<T>(steps: Steps<T>, from: number, to: number): Steps<T> {
  for (;;) {
    const next = steps.next();
    if (next.done) return next.value;
    yield from + (to - from) * next.value;
  }
}
