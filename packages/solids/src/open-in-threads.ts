/** Solids that are made in threads: this one only asks, and puts a split together. */
import { orAborted, type TaskOptions } from '@oddside/core';
import { KeptHalves } from './kept-halves.js';
import { copied, memoryOf, optionsAt, type TaskWork } from './solid-work.js';
import { openSolidThreads, type SolidThreads } from './solid-threads.js';
import { type Asked, disposedOf, type Made, type Solids, solidsOf, type TaskName, type TaskRunner } from './solids.js';
import { goesSideBySide, splitSideBySide } from './split-side-by-side.js';

/**
 * Opens threads, and solids that use them.
 *
 * @param here Opens solids that do without.
 * @throws OddsideError `missing-engine`.
 */
export async function openInThreads(count: number, here: () => Promise<Solids>): Promise<Solids> {
  const threads = await openSolidThreads(count);
  const kept = new KeptHalves();
  let disposed = false;
  let running = 0;
  const endWhenDone = (): void => {
    if (disposed && running === 0) threads.close();
  };
  const run: TaskRunner = async <T extends TaskName>(task: T, asked: Asked<T>): Promise<Made<T>> => {
    if (disposed) throw disposedOf();
    running++;
    try {
      return await runThere(threads, kept, task, asked);
    } catch (error) {
      // Only what is wrong cannot be posted: without threads it is told in the right words.
      if ((error as Error | null)?.name !== 'DataCloneError') throw error;
      const doTask = (await here())[task] as unknown as (...asked: Asked<T>) => Promise<Made<T>>;
      return await doTask(...asked);
    } finally {
      running--;
      endWhenDone();
    }
  };
  return solidsOf(run, () => {
    disposed = true;
    endWhenDone();
  });
}

async function runThere<T extends TaskName>(
  threads: SolidThreads,
  kept: KeptHalves,
  task: T,
  asked: Asked<T>,
): Promise<Made<T>> {
  if (task === 'splitPattern') return runSplit(threads, kept, asked as Asked<'splitPattern'>) as Promise<Made<T>>;
  if (task === 'followBoard') return runBoard(threads, kept, asked as Asked<'followBoard'>) as Promise<Made<T>>;
  return (await threads.ask(...wholeTask(task, asked))).made;
}

/** A task to be asked: its pattern as it is now, its options without what cannot be posted. */
function wholeTask<T extends TaskName>(
  task: T,
  asked: Asked<T>,
  kept: TaskWork['kept'] = null,
): [work: TaskWork<T>, how: TaskOptions & { transfer: ArrayBufferLike[] }] {
  const last = optionsAt(task);
  const pattern = copied(asked[0]);
  const options: unknown = asked[last];
  const { signal, onProgress, ...plain } = (typeof options === 'object' && options ? options : {}) as TaskOptions;
  const odd = options !== undefined && options !== null && typeof options !== 'object';
  const direction = last === 2 ? [asked[1]] : [];
  const posted = [pattern, ...direction, odd ? options : plain] as unknown as Asked<T>;
  return [
    { kind: 'task', task, asked: posted, kept },
    { signal, onProgress, transfer: memoryOf(pattern) },
  ];
}

async function runSplit(
  threads: SolidThreads,
  kept: KeptHalves,
  asked: Asked<'splitPattern'>,
): Promise<Made<'splitPattern'>> {
  const [pattern, direction, given] = asked;
  const keep = kept.begin(pattern);
  let tell = (): void => undefined;
  const known = new Promise<void>((resolve) => (tell = resolve));
  if (given?.joint && given.fill !== false) kept.note(pattern, direction, given.joint, known);
  try {
    if (threads.count > 1 && goesSideBySide(given)) {
      return await splitSideBySide(threads, asked, (half) => {
        keep(half);
        tell();
      });
    }
    const done = await threads.ask(...wholeTask('splitPattern', asked));
    if (done.kept) keep(done.kept);
    return done.made;
  } finally {
    tell();
  }
}

async function runBoard(
  threads: SolidThreads,
  kept: KeptHalves,
  asked: Asked<'followBoard'>,
): Promise<Made<'followBoard'>> {
  const [pattern, direction, given] = asked;
  // A half on its way is worth waiting for: it takes longer to make than all the rest of the board.
  const coming = given?.beds === 'drag' ? null : kept.coming(pattern, direction, given?.joint);
  if (coming) await orAborted(coming, given.signal);
  return (await threads.ask(...wholeTask('followBoard', asked, kept.last(pattern)))).made;
}
