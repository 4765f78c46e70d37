/** Runs in a thread of its own and does what it is asked. Works as a Node worker thread and as a Web Worker. */
import { answerPosts } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { makeScratch, type CastScratch } from './cast-columns.js';
import { assessDraw } from './assess-draw.js';
import type { DrawRules } from './draw-rules.js';
import { findOwnAxes } from './find-own-axes.js';
import { measureLadder } from './measure-ladder.js';
import { surveySides } from './survey-sides.js';
import {
  packTried,
  TRIED_STRIDE,
  type OpenPattern,
  type Posted,
  type Returned,
  type ThreadNotice,
  type ThreadQuestion,
  type TryDraws,
} from './thread-work.js';
import { tryDraw } from './try-draw.js';

/** What a thread knows, by the number it is called. */
interface Known {
  readonly patterns: Map<number, { readonly pattern: Pattern; readonly scratch: CastScratch }>;
  readonly rules: Map<number, DrawRules>;
}

/** Makes the handler of one thread's messages; what is asked is answered in the order it was asked in. */
function makeHandler(): (posted: Posted, answer: (returned: Returned) => void) => void {
  const known: Known = { patterns: new Map(), rules: new Map() };
  let last: Promise<void> = Promise.resolve();
  return ({ number, work }, answer) => {
    last = last.then(async () => {
      try {
        if (isNotice(work)) heed(work, known);
        else answer({ number, answer: await answerTo(work, known) });
      } catch (error) {
        answer({ number, failed: error instanceof Error ? error.message : String(error) });
      }
    });
  };
}

const isNotice = (work: ThreadNotice | ThreadQuestion): work is ThreadNotice =>
  work.kind === 'open' || work.kind === 'rules' || work.kind === 'close';

function heed(work: ThreadNotice, { patterns, rules }: Known): void {
  if (work.kind === 'close') {
    patterns.delete(work.key);
    rules.delete(work.key);
  } else if (work.kind === 'open') {
    const pattern = patternOf(work);
    patterns.set(work.key, { pattern, scratch: makeScratch(pattern) });
  } else {
    rules.set(work.key, work.rules);
  }
}

function patternOf({ positions, triangles }: OpenPattern): Pattern {
  return { name: '', positions, triangles, unit: { name: 'mm', from: 'caller' }, findings: [] };
}

async function answerTo(work: ThreadQuestion, known: Known): Promise<Returned['answer']> {
  if (work.kind === 'try') return tryAll(work, known);
  const { pattern, scratch } = known.patterns.get(work.key)!;
  if (work.kind === 'sides') return surveySides(pattern, work.survey, scratch);
  if (work.kind === 'axes') return findOwnAxes(pattern, work.survey);
  if (work.kind === 'assess') return assessDraw(pattern, work.direction, work.options, scratch);
  // Its pattern, draw and options were checked by the thread that asks.
  return measureLadder(pattern, work.direction, { ...work.options, scratch });
}

function tryAll({ key, rules, columns, directions }: TryDraws, known: Known): Float64Array {
  const { pattern, scratch } = known.patterns.get(key)!;
  const judgedBy = known.rules.get(rules)!;
  const tried = new Float64Array((directions.length / 3) * TRIED_STRIDE);
  for (let i = 0; i < directions.length / 3; i++) {
    const direction = [directions[3 * i], directions[3 * i + 1], directions[3 * i + 2]] as const;
    packTried(tryDraw(pattern, direction, 'even sampling', columns, judgedBy, scratch), tried, i);
  }
  return tried;
}

answerPosts<Posted, Returned>(makeHandler());
