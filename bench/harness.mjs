// @ts-check
/** Measures our way against a peer's way of doing the same work, in the same run, turn and turn about. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { cpus } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');

/**
 * One case. `prepare` makes the subject once, outside the clock, from a fixed seed; both sides get the same subject and
 * must not change it.
 *
 * @typedef {object} Case
 * @property {string} name What is done to what, such as `one draw, 109,259 triangles, 256² columns`.
 * @property {string} [peer] Who does the same with other means, with its version; left out where there is no peer.
 * @property {() => unknown} prepare
 * @property {(subject: any) => unknown} ours
 * @property {(subject: any) => unknown} [theirs]
 * @property {(ours: any, theirs: any, subject: any) => boolean | string} same True when the results agree within the
 *   tolerance the case names; otherwise false or a text that says how they differ. Without a peer: whether ours is right.
 * @property {(subject: any) => unknown} [finish] Closes what `prepare` opened.
 * @property {number} [atLeast] How many times faster than the peer ours must be.
 * @property {number} [atMostMs] How long ours may take at the median, ms.
 * @property {(ours: any, subject: any, medians: { oursMs: number, theirsMs: number }) => string} [tell] What else is worth
 *   printing beside the times.
 * @property {number} [rounds] Samples of each side. Default: as many as fit in about 3 s, from 5 to 40.
 */

/**
 * @typedef {object} Times
 * @property {number} medianMs
 * @property {number} minMs
 * @property {number} spread Middle half of the samples (third quartile less first) over the median.
 * @property {number} samples
 */

/**
 * @typedef {object} Outcome
 * @property {string} name
 * @property {string | undefined} peer
 * @property {Times} ours
 * @property {Times | undefined} theirs
 * @property {number | undefined} ratio Median of theirs over median of ours.
 * @property {number | undefined} atLeast
 * @property {number | undefined} atMostMs
 * @property {string} difference Empty when the results agree.
 * @property {string} note What the case tells besides, empty where it tells nothing.
 * @property {'ok' | 'MISSED' | 'DIFFERS'} verdict
 * @property {unknown} sink The last results, kept so that no work can be optimised away.
 */

/** A sample shorter than this is repeated until it is long enough to time. */
const SHORTEST_MS = 5;
const BUDGET_MS = 3000;

/** @param {readonly number[]} samples @param {number} share */
function quantile(samples, share) {
  const sorted = samples.toSorted((a, b) => a - b);
  const at = (sorted.length - 1) * share;
  const low = Math.floor(at);
  return sorted[low] + (sorted[Math.min(low + 1, sorted.length - 1)] - sorted[low]) * (at - low);
}

/** @param {readonly number[]} samples @returns {Times} */
export function summarise(samples) {
  const medianMs = quantile(samples, 0.5);
  const spread = (quantile(samples, 0.75) - quantile(samples, 0.25)) / medianMs;
  return { medianMs, minMs: Math.min(...samples), spread, samples: samples.length };
}

/**
 * Runs one side `repeats` times and gives the time of one run and the last result.
 *
 * @param {(subject: any) => unknown} side
 * @param {unknown} subject
 * @param {number} repeats
 */
async function sample(side, subject, repeats) {
  let result;
  const started = performance.now();
  for (let i = 0; i < repeats; i++) {
    result = side(subject);
    if (result instanceof Promise) result = await result;
  }
  return { ms: (performance.now() - started) / repeats, result };
}

/**
 * Warms a side up until two runs in a row agree within a fifth, and finds how often to repeat it in a sample.
 *
 * @param {(subject: any) => unknown} side
 * @param {unknown} subject
 */
async function warmUp(side, subject) {
  const ended = performance.now() + 1000;
  let repeats = 1;
  let previous = Infinity;
  for (;;) {
    const { ms } = await sample(side, subject, repeats);
    if (ms * repeats < SHORTEST_MS) {
      repeats = Math.ceil(repeats * Math.min(10, (1.2 * SHORTEST_MS) / Math.max(ms * repeats, 0.01)));
    } else if (Math.abs(ms - previous) < 0.2 * ms || performance.now() > ended) {
      return { repeats, ms };
    }
    previous = ms;
  }
}

/**
 * Measures one case. Both sides are warmed up, then sampled in turn, each going first every other round, so that a
 * machine that slows down or speeds up does so for both.
 *
 * @param {Case} each
 * @returns {Promise<Outcome>}
 */
export async function measure(each) {
  const subject = await each.prepare();
  const sides = each.theirs ? [each.ours, each.theirs] : [each.ours];
  const warm = [];
  for (const side of sides) warm.push(await warmUp(side, subject));
  const oneRound = warm.reduce((sum, { ms, repeats }) => sum + ms * repeats, 0);
  const rounds = each.rounds ?? Math.max(5, Math.min(40, Math.round(BUDGET_MS / oneRound)));
  /** @type {number[][]} */
  const samples = sides.map(() => []);
  /** @type {unknown[]} */
  const results = sides.map(() => undefined);
  for (let round = 0; round < rounds; round++) {
    for (let turn = 0; turn < sides.length; turn++) {
      const i = (turn + round) % sides.length;
      const { ms, result } = await sample(sides[i], subject, warm[i].repeats);
      samples[i].push(ms);
      results[i] = result;
    }
  }
  await each.finish?.(subject);
  const ours = summarise(samples[0]);
  const theirs = each.theirs ? summarise(samples[1]) : undefined;
  const agreed = each.same(results[0], results[1], subject);
  const difference = agreed === true ? '' : agreed || 'the results differ';
  const ratio = theirs && theirs.medianMs / ours.medianMs;
  const missed =
    (each.atLeast !== undefined && !(ratio !== undefined && ratio >= each.atLeast)) ||
    (each.atMostMs !== undefined && ours.medianMs > each.atMostMs);
  const { name, peer, atLeast, atMostMs } = each;
  const verdict = difference ? 'DIFFERS' : missed ? 'MISSED' : 'ok';
  const medians = { oursMs: ours.medianMs, theirsMs: theirs?.medianMs ?? NaN };
  const note = each.tell?.(results[0], subject, medians) ?? '';
  return { name, peer, ours, theirs, ratio, atLeast, atMostMs, difference, note, verdict, sink: results };
}

/** The processor as a file name: `intel-xeon-2-cores`. */
export function processorName() {
  const { model = 'unknown' } = cpus()[0] ?? {};
  const plain = model.toLowerCase().replace(/\(r\)|\(tm\)|@.*$|\bcpu\b|\bprocessor\b/g, ' ');
  return `${plain.replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '') || 'unknown'}-${cpus().length}-cores`;
}

/**
 * The shape builders of the tests, for cases: benches measure on the same solids. Node 20 does not run TypeScript, so they are
 * written out as JavaScript first. Another process does it: here the compiler would stay in memory, and every collection of
 * garbage that falls into what is measured would go over it.
 *
 * @returns {Promise<typeof import('../test/helpers/shapes.js') & typeof import('../test/helpers/scans.js')>}
 */
export async function loadShapes() {
  const to = execFileSync(process.execPath, [join(root, 'bench', 'write-shapes.mjs')], { encoding: 'utf8' });
  const load = (/** @type {string} */ name) => import(pathToFileURL(join(to, name)).href);
  return { ...(await load('shapes.js')), ...(await load('scans.js')) };
}

/** A peer with its installed version, for `Case.peer`: `three-mesh-bvh 0.9.17`. @param {string} name */
export function peerName(name) {
  const require = createRequire(import.meta.url);
  const folder = (require.resolve.paths(name) ?? []).map((path) => join(path, name, 'package.json'));
  for (const file of folder) {
    try {
      return `${name} ${JSON.parse(readFileSync(file, 'utf8')).version}`;
    } catch {
      // Not in this folder; the next one up may have it.
    }
  }
  throw new Error(`The peer ${name} is not installed.`);
}
