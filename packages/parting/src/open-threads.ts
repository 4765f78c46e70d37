/**
 * Threads that help with a search and with joints. What they do is done by the same code as without them and put together in
 * the order it was asked in, so that the outcome is the same bit for bit however many there are.
 */
import { checkNumber, OddsideError, startThread, type Thread } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawRules } from './draw-rules.js';
import type { Posted, Returned, ThreadAnswers, ThreadNotice, ThreadQuestion } from './thread-work.js';

/** Threads that wait to help. Opened once they can be handed to any number of calls, one after another or at once. */
export interface PartingThreads {
  /** How many there are. */
  readonly count: number;
  /** Ends them. What was asked and not answered is refused. */
  readonly close: () => void;
}

/** What the library itself sees in them. */
export interface HelpingThreads extends PartingThreads {
  /** The number by which they know a pattern; the first time they are told of it. */
  readonly keyOf: (pattern: Pattern) => number;
  /** The same of rules. */
  readonly keyOfRules: (rules: DrawRules) => number;
  /** The fewest questions that one of them has to answer yet: 0 where one has nothing to do. */
  readonly leastWaiting: () => number;
  /** Asks one of them; without a number the one with least to do. */
  readonly ask: <Q extends ThreadQuestion>(question: Q, thread?: number) => Promise<ThreadAnswers[Q['kind']]>;
}

/**
 * The library's view of threads that a caller handed over.
 *
 * @throws OddsideError `bad-option` where they are none.
 */
export function helpersIn(threads: PartingThreads): HelpingThreads {
  if (typeof (threads as Partial<HelpingThreads> | null)?.ask === 'function') return threads as HelpingThreads;
  const came = threads === null ? 'null' : `a value of type ${typeof threads}`;
  throw new OddsideError(
    'bad-option',
    `threads must be a number or what openPartingThreads returned; ${came} came that cannot be asked anything. Open threads and hand those over, or say how many to start.`,
  );
}

/** Patterns and rules they keep at a time: a search needs four patterns and two sets of rules. */
const MOST_KNOWN = 24;

/** The number of what is told and not asked. */
const NOTICE = -1;

/** A pattern or rules that threads know. */
interface Told {
  readonly positions?: Float64Array;
  readonly triangles?: Uint32Array;
  readonly rules?: DrawRules;
}

/**
 * Starts threads. They need some 50 ms to wake up; this returns at once. A program that advises again and again keeps them,
 * and they are quicker the second time.
 *
 * @param count 1–64; one fewer than the processor has cores is best, as the caller's own thread works too.
 * @throws OddsideError `bad-number`; `missing-engine` where the platform has no threads or the worker's file cannot be loaded.
 */
export async function openPartingThreads(count: number): Promise<PartingThreads> {
  checkNumber('threads', count, { min: 1, max: 64, whole: true });
  const threads = await Promise.all(Array.from({ length: count }, startOne));
  const waiting = new Map<number, { resolve: (answer: never) => void; reject: (error: unknown) => void }>();
  const pending = threads.map(() => 0);
  let next = 0;
  let keys = 0;
  const known: (Told & { readonly key: number })[] = [];
  let broken: OddsideError | undefined;
  const tell = (notice: ThreadNotice): void => {
    for (const thread of threads) thread.post({ number: NOTICE, work: notice });
  };
  // What is asked for again goes to the end; what has not been for longest is forgotten. Messages keep their order, so
  // whatever was asked before is still answered.
  const keyFor = (same: (one: Told) => boolean, fresh: Told, notice: (key: number) => ThreadNotice): number => {
    const at = known.findIndex(same);
    const one = at >= 0 ? known.splice(at, 1)[0] : { ...fresh, key: keys++ };
    known.push(one);
    if (at < 0) tell(notice(one.key));
    if (known.length > MOST_KNOWN) tell({ kind: 'close', key: known.shift()!.key });
    return one.key;
  };
  const fail = (error: OddsideError): void => {
    broken = error;
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  for (const [k, thread] of threads.entries()) {
    thread.listen(
      ({ number, answer, failed }) => {
        // What was only told and could not be heeded spoils every question that follows.
        if (number === NOTICE) return fail(noThreads(new Error(failed)));
        const asked = waiting.get(number);
        waiting.delete(number);
        pending[k]--;
        if (failed === undefined) asked?.resolve(answer as never);
        else asked?.reject(new OddsideError('missing-engine', `A thread that helped failed: ${failed}`));
      },
      (error) => fail(noThreads(error)),
    );
  }
  const helpers: HelpingThreads = {
    count,
    keyOf: ({ positions, triangles }) =>
      keyFor(
        (one) => one.positions === positions && one.triangles === triangles,
        { positions, triangles },
        (key) => ({ kind: 'open', key, ...shareArrays(positions, triangles) }),
      ),
    keyOfRules: (rules) =>
      keyFor(
        (one) => one.rules === rules,
        { rules },
        (key) => ({ kind: 'rules', key, rules }),
      ),
    leastWaiting: () => Math.min(...pending),
    ask: (question, thread = pending.indexOf(Math.min(...pending))) => {
      const number = next++;
      return new Promise((resolve, reject) => {
        if (broken) return reject(broken);
        waiting.set(number, { resolve, reject });
        pending[thread]++;
        threads[thread].post({ number, work: question });
      });
    },
    close: () => {
      for (const thread of threads) thread.end();
      fail(new OddsideError('bad-option', 'The threads were closed while something was asked of them.'));
    },
  };
  return helpers;
}

/** Shared memory where the platform allows it, so that a large scan is not copied once a thread. */
export function shareArrays(
  positions: Float64Array,
  triangles: Uint32Array,
): { positions: Float64Array; triangles: Uint32Array } {
  const isolated = (globalThis as { crossOriginIsolated?: boolean }).crossOriginIsolated ?? true;
  if (typeof SharedArrayBuffer === 'undefined' || !isolated) return { positions, triangles };
  const shared = {
    positions: new Float64Array(new SharedArrayBuffer(positions.byteLength)),
    triangles: new Uint32Array(new SharedArrayBuffer(triangles.byteLength)),
  };
  shared.positions.set(positions);
  shared.triangles.set(triangles);
  return shared;
}

async function startOne(): Promise<Thread<Posted, Returned>> {
  try {
    return await startThread(
      new URL('./thread-worker.js', import.meta.url),
      () => new Worker(new URL('./thread-worker.js', import.meta.url), { type: 'module' }),
    );
  } catch (error) {
    throw noThreads(error);
  }
}

function noThreads(cause: unknown): OddsideError {
  return new OddsideError(
    'missing-engine',
    `Threads were asked for, but none could be started${cause instanceof Error ? ` (${cause.message})` : ''}. Ask for threads: 0 to do without.`,
    {},
    { cause },
  );
}
