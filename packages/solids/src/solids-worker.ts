/** Runs in a thread of its own, with a kernel of its own, and makes what it is asked for. In Node and in a browser. */
import { answerPosts, type TaskOptions } from '@oddside/core';
import { explained } from './explain-failure.js';
import { HalfHere, beginSplit, type SplitInWork } from './half-in-work.js';
import { fits, type HalfKeeper, type KeptHalf } from './kept-halves.js';
import type { Kernel } from './kernel.js';
import { sharedKernel } from './open-kernel.js';
import { openScope } from './own-bodies.js';
import { runTask } from './run-task.js';
import {
  memoryIn,
  packError,
  type BeginHalfWork,
  type DoneOf,
  type HalfWork,
  type Posted,
  type Returned,
  type TaskDone,
  type TaskWork,
  type Work,
} from './solid-work.js';

/** What both halves of a split share, where both are here. */
interface HeldSplit {
  readonly work: SplitInWork;
  readonly close: () => void;
  halves: number;
}

/** A half that stays here between questions. */
interface HeldHalf {
  readonly half: HalfHere;
  readonly split: number;
}

/** What a thread knows. */
interface Place {
  readonly halves: Map<number, HeldHalf>;
  readonly splits: Map<number, HeldSplit>;
  readonly stops: Map<number, AbortController>;
  /** What is under way; a half may be left only afterwards. */
  under: Promise<void>;
}

type Answer = (returned: Returned, transfer?: readonly ArrayBufferLike[]) => void;

/** Makes the handler of one thread's messages. Work comes one piece at a time: the next is posted when this is answered. */
function makeHandler(): (posted: Posted, answer: Answer) => void {
  const place: Place = { halves: new Map(), splits: new Map(), stops: new Map(), under: Promise.resolve() };
  return (posted, answer) => {
    if ('stop' in posted) place.stops.get(posted.stop)?.abort();
    else if ('leave' in posted) place.under = place.under.then(() => leave(place, posted.leave));
    else place.under = place.under.then(() => work(place, posted, answer));
  };
}

async function work(
  place: Place,
  { number, work: asked }: { readonly number: number; readonly work: Work },
  answer: Answer,
): Promise<void> {
  const stop = new AbortController();
  place.stops.set(number, stop);
  const task: TaskOptions = {
    signal: stop.signal,
    onProgress: (fraction) => answer({ number, fraction }),
  };
  try {
    const done = (await doneOf(place, asked, task)) as DoneOf<Work>;
    answer({ number, done }, [...memoryIn(done)]);
  } catch (error) {
    fail(number, error, answer);
  } finally {
    place.stops.delete(number);
  }
}

function fail(number: number, error: unknown, answer: Answer): void {
  const failed = packError(error);
  try {
    answer({ number, failed });
  } catch {
    // Something in it cannot be posted; the words can.
    answer({ number, failed: packError(new Error(failed.message)) });
  }
}

async function doneOf(place: Place, asked: Work, task: TaskOptions): Promise<unknown> {
  const kernel = await sharedKernel.open();
  try {
    switch (asked.kind) {
      case 'open':
        return undefined;
      case 'task':
        return await wholeTask(asked, task, kernel);
      case 'begin':
        return begin(place, asked, kernel);
      case 'half':
        return await step(place, asked, task);
    }
  } catch (error) {
    throw explained(error, () => sharedKernel.drop(kernel));
  }
}

async function wholeTask(
  { task, asked, kept: known }: TaskWork,
  extra: TaskOptions,
  kernel: Kernel,
): Promise<TaskDone> {
  let kept: KeptHalf | null = null;
  const keeper: HalfKeeper = {
    begin: () => (half) => {
      kept = half;
    },
    find: (_, frame, level) => (known && fits(known, frame, level) ? known : null),
  };
  const made = await runTask(kernel, task, withTask(asked, extra), keeper);
  return { made, kept };
}

/** What was asked, with the options of a task, which could not be posted. */
function withTask(asked: TaskWork['asked'], extra: TaskOptions): TaskWork['asked'] {
  // As posted they always end in the options.
  const options: unknown = asked.at(-1);
  if (options !== undefined && options !== null && typeof options !== 'object') return asked;
  return [...asked.slice(0, -1), { ...options, ...extra }] as unknown as TaskWork['asked'];
}

function begin(place: Place, asked: BeginHalfWork, kernel: Kernel): void {
  const { half, split, side } = asked;
  const held = place.splits.get(split) ?? beginHere(asked, kernel);
  place.splits.set(split, held);
  held.halves++;
  place.halves.set(half, { half: new HalfHere(held.work, side), split });
}

function beginHere({ pattern, direction, options }: BeginHalfWork, kernel: Kernel): HeldSplit {
  const { scope, close } = openScope(kernel);
  try {
    return { work: beginSplit(scope, pattern, direction, options), close, halves: 0 };
  } catch (error) {
    close();
    throw error;
  }
}

function step(place: Place, { half: number, step: name, given }: HalfWork, { signal }: TaskOptions): Promise<unknown> {
  const { half } = place.halves.get(number)!;
  if (name === 'readOut') return half.readOut(...(given as HalfWork<'readOut'>['given']), signal);
  const ask = half[name].bind(half) as (...given: readonly unknown[]) => Promise<unknown>;
  return ask(...given);
}

function leave(place: Place, number: number): void {
  const split = place.halves.get(number)?.split;
  place.halves.delete(number);
  const held = split === undefined ? undefined : place.splits.get(split);
  if (split === undefined || !held || --held.halves > 0) return;
  place.splits.delete(split);
  try {
    held.close();
  } catch {
    // A kernel that broke frees nothing any more; it was given up when it broke.
  }
}

answerPosts<Posted, Returned>(makeHandler());
