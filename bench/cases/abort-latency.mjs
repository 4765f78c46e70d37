// @ts-check
// How long an abort has to wait: the longest stretch of work between two turns of the event loop, at about 109,000 triangles.
// What is asked for is 100 ms of this thread's own time, so that a busy machine changes nothing; the times beside are of the
// whole task by the clock.
import {
  advisePartings,
  assessDraw,
  jointLadder,
  proveNoDraw,
  ruleOutDraws,
  sampleDirections,
  shapePartingSurfaceInPieces,
  suggestRemedies,
  tracePartingLineInPieces,
} from '@oddside/parting';
import { inspectPatternFully } from '@oddside/pattern';
import { openSolids } from '@oddside/solids';
import { planCasting } from 'oddside';
import { longestHold } from '../abort-watch.mjs';
import { loadShapes } from '../harness.mjs';

/** @import { TaskOptions } from '@oddside/core' */
/** @import { Pattern } from '@oddside/pattern' */

const AT_MOST_MS = 100;
const DRAW = /** @type {const} */ ([0, 0.3, 1]);

/** A bust as scanned: open in places. */
const bust = async () => {
  const shapes = await loadShapes();
  return shapes.asPattern(shapes.snowdenMesh('hi'));
};

/** A rough ring: closed, so that all that asks for a closed surface runs its whole way. */
const ring = async () => {
  const shapes = await loadShapes();
  return shapes.asPattern(shapes.roughen(shapes.torus(60, 25, 500, 109), 0.01, 3));
};

/** Two linked rings: no draw, and the proof has to look all round. */
const links = async () => {
  const shapes = await loadShapes();
  return shapes.asPattern(shapes.linkedRings(100, 25, 500, 55));
};

/**
 * A case of a task that can be aborted. Of its runs the one that holds the loop least counts: a stretch of work is there in
 * all of them, a collection of garbage or a first compilation only in some. The first run is told as well.
 *
 * @param {string} name
 * @param {() => Promise<Pattern>} prepare
 * @param {(pattern: Pattern, task: TaskOptions) => unknown} run
 * @returns {import('../harness.mjs').Case}
 */
function holding(name, prepare, run) {
  return {
    name: `longest wait of an abort: ${name}`,
    prepare: async () => ({ pattern: await prepare(), holds: /** @type {import('../abort-watch.mjs').Hold[]} */ ([]) }),
    ours: async ({ pattern, holds }) => holds.push(await longestHold((task) => run(pattern, task))),
    same: (_ours, _theirs, { holds }) => {
      const { ms, from, to } = leastOf(holds);
      const where = `between ${(100 * from).toFixed(1)} and ${(100 * to).toFixed(1)} % of it`;
      return ms <= AT_MOST_MS || `an abort waits ${ms.toFixed(0)} ms, ${where}; at most ${AT_MOST_MS} ms is asked for`;
    },
    tell: (_ours, { holds }) =>
      `${leastOf(holds).ms.toFixed(0)} ms at the longest, ${holds[0].ms.toFixed(0)} ms (${holds[0].clockMs.toFixed(0)} by the clock) in the first run`,
    rounds: 2,
  };
}

/** @param {import('../abort-watch.mjs').Hold[]} holds */
const leastOf = (holds) => holds.reduce((least, hold) => (hold.ms < least.ms ? hold : least));

/**
 * Runs a task up to a part of its progress, then aborts it; fails where it does not stop, or gives another reason.
 *
 * @param {number} part
 * @param {TaskOptions} task
 * @param {(task: TaskOptions) => Promise<unknown>} run
 */
async function untilAborted(part, { onProgress }, run) {
  const stop = new AbortController();
  const reason = new Error('enough');
  const outcome = await run({
    signal: stop.signal,
    onProgress: (fraction) => {
      onProgress?.(fraction);
      if (fraction > part) stop.abort(reason);
    },
  }).catch((/** @type {unknown} */ error) => error);
  if (outcome !== reason) throw new Error(`an abort was not heeded: ${String(outcome)}`);
}

/**
 * All of it in threads: the kernel's operations cannot be stopped half way, and this thread does none of them.
 *
 * @param {Pattern} pattern
 * @param {TaskOptions} task
 */
async function inThreads(pattern, { signal, onProgress }) {
  const solids = await openSolids({ threads: 2 });
  const joint = /** @type {const} */ ({ kind: 'level', height: 0 });
  await Promise.all([
    solids.fillBackDraft(pattern, DRAW, { signal }),
    solids.splitPattern(pattern, DRAW, { joint, signal, onProgress }),
    solids.followBoard(pattern, DRAW, { joint, signal }),
  ]).finally(() => solids.dispose());
}

/** Flasks and wishes bring in the criteria that are not asked for otherwise. */
const EVERY_CRITERION = {
  flasks: [{ name: 'one', length: 400, width: 400, copeDepth: 150, dragDepth: 150 }],
  wishes: { machined: [{ normal: /** @type {const} */ ([0, 0, 1]) }] },
};

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  holding('advice, bust of 109,259 triangles', bust, (pattern, task) => advisePartings(pattern, task)),
  holding('advice with every criterion', bust, (pattern, task) =>
    advisePartings(pattern, { ...task, ...EVERY_CRITERION }),
  ),
  holding('advice without a likeness, with a thread, 512 columns', bust, (pattern, task) =>
    advisePartings(pattern, {
      ...task,
      searchTriangles: 0,
      samples: 60,
      threads: 1,
      columns: 512,
    }),
  ),
  holding('ladder of joints', bust, (pattern, task) => jointLadder(pattern, DRAW, task)),
  holding('ladder of joints on 192 columns', bust, (pattern, task) =>
    jointLadder(pattern, DRAW, { ...task, columns: 192 }),
  ),
  holding('joint surface', bust, (pattern, task) => {
    const assessment = assessDraw(pattern, DRAW);
    return shapePartingSurfaceInPieces(pattern, assessment, { ...task, band: assessment.column });
  }),
  holding('remedies', bust, (pattern, task) => suggestRemedies(pattern, assessDraw(pattern, DRAW), task)),
  holding('the first fifth of a proof that no draw exists, linked rings of 110,000 triangles', links, (pattern, task) =>
    untilAborted(0.2, task, (aborted) => proveNoDraw(pattern, { ...aborted, mostTriangles: 1e6 })),
  ),
  holding('draws ruled out by faces, ring of 109,000 triangles', ring, (pattern, task) =>
    ruleOutDraws(pattern, sampleDirections(1000), task),
  ),
  holding('inspection in full', bust, (pattern, task) => inspectPatternFully(pattern, task)),
  holding('the whole job', bust, (pattern, task) => planCasting(pattern, { ...task, alloy: 'bz95_5' })),
  holding('filled pattern, halves and board at once, in two threads, ring of 109,000 triangles', ring, inThreads),
  holding('parting line', bust, (pattern, task) => tracePartingLineInPieces(pattern, assessDraw(pattern, DRAW), task)),
];
