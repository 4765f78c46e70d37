// @ts-check
/** Watches how long a task holds the event loop: for so long an abort has to wait. */
import { existsSync, readFileSync } from 'node:fs';

/**
 * @typedef {object} Hold
 * @property {number} ms Processor time of this thread between two turns of the event loop; time by the clock where the system
 *   does not tell. Others on the machine make the clock's longer, not this.
 * @property {number} clockMs
 * @property {number} from Progress of the task at the one turn and at the next.
 * @property {number} to
 */

/** Time this thread has run, ns, as Linux keeps it. */
const STAT = '/proc/thread-self/schedstat';

function ownMs() {
  return existsSync(STAT) ? Number(readFileSync(STAT, 'utf8').split(' ')[0]) / 1e6 : performance.now();
}

/**
 * Runs a task and finds the longest stretch between two turns of the event loop.
 *
 * @param {(task: { onProgress: (fraction: number) => void }) => unknown} task
 * @returns {Promise<Hold>}
 */
export async function longestHold(task) {
  /** @type {Hold} */
  let longest = { ms: 0, clockMs: 0, from: 0, to: 0 };
  let fraction = 0;
  let turned = { ms: ownMs(), clockMs: performance.now(), fraction };
  let running = true;
  const turn = () => {
    const now = { ms: ownMs(), clockMs: performance.now(), fraction };
    const ms = now.ms - turned.ms;
    if (ms > longest.ms) longest = { ms, clockMs: now.clockMs - turned.clockMs, from: turned.fraction, to: fraction };
    turned = now;
    if (running) setImmediate(turn);
  };
  setImmediate(turn);
  await task({ onProgress: (done) => (fraction = done) });
  // The last stretch ends with the turn after it.
  await new Promise((resolve) => setImmediate(resolve));
  running = false;
  return longest;
}
