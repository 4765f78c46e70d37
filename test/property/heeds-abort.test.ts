/**
 * What may take long stops between two short pieces of work: an abort after any of its news ends it at the next, with the
 * signal's own reason. How long a piece takes is measured in `bench/cases/abort-latency.mjs`; no test looks at the clock.
 */
import { describe, expect, it, vi } from 'vitest';
import { renderViewInPieces, renderView } from '@oddside/card';
import type { TaskOptions } from '@oddside/core';
import { planCasting } from 'oddside';
import {
  advisePartings,
  assessDraw,
  candidateAlong,
  candidateAlongInPieces,
  jointLadder,
  proveNoDraw,
  readyRuling,
  ruleOutDraws,
  sampleDirections,
  shapePartingSurface,
  shapePartingSurfaceInPieces,
  suggestRemedies,
  tracePartingLine,
  tracePartingLineInPieces,
} from '@oddside/parting';
import { inspectPatternFully, measurePattern, measurePatternInPieces } from '@oddside/pattern';
import * as s from '../helpers/shapes.js';

const few = { samples: 50, columns: 96, candidates: 2 };
const mug = s.asPattern(s.rotate(s.scale(s.blockyMug(), 20), [1, 2, 3], 25));
const open = s.asPattern(s.keepTriangles(s.torus(30, 12, 24, 12), (t) => t !== 5));
const draw = assessDraw(mug, [0, 0.2, 1], { columns: 96 });
const everyCriterion = {
  flasks: [{ name: 'one', length: 300, width: 300, copeDepth: 100, dragDepth: 100 }],
  wishes: { machined: [{ normal: s.turnPoint([0, 0, 1], [1, 2, 3], 25) }] },
};

const TASKS: [string, (task: TaskOptions) => Promise<unknown>][] = [
  ['advice with every criterion', (task) => advisePartings(mug, { ...task, ...few, ...everyCriterion })],
  ['advice without joints', (task) => advisePartings(mug, { ...task, ...few, joints: false })],
  ['a draw of one’s own', (task) => candidateAlongInPieces(mug, [0, 0.2, 1], { ...task, columns: 96 })],
  ['parting line', (task) => tracePartingLineInPieces(mug, draw, task)],
  ['ladder of joints', (task) => jointLadder(mug, [0, 0.2, 1], { ...task, columns: 48 })],
  ['joint surface', (task) => shapePartingSurfaceInPieces(mug, draw, { ...task, column: 2 })],
  ['remedies', (task) => suggestRemedies(mug, draw, task)],
  ['proof', (task) => proveNoDraw(mug, task)],
  ['ruling', (task) => readyRuling(mug, task)],
  ['draws ruled out', (task) => ruleOutDraws(mug, sampleDirections(100), task)],
  ['inspection in full', (task) => inspectPatternFully(mug, task)],
  ['measures of a sound pattern', (task) => measurePatternInPieces(mug, task)],
  ['measures of an open one', (task) => measurePatternInPieces(open, task)],
  ['picture', (task) => renderViewInPieces(mug, { ...task, longestPx: 400 })],
  ['whole job', (task) => planCasting(mug, { ...task, alloy: 'bz95_5', ...few, picturePx: 120 })],
];

describe('an abort', () => {
  it.each(TASKS)('stops %s at the next piece of work, with its reason', async (_, run) => {
    const clock = vi.spyOn(performance, 'now');
    let now = 0;
    // Every look at the clock is a while later, so every piece of work ends with a turn of the event loop.
    clock.mockImplementation(() => (now += 30));
    try {
      const whole: number[] = [];
      await run({ onProgress: (fraction) => whole.push(fraction) });
      expect(whole.length).toBeGreaterThan(3);
      expect(whole.filter((fraction) => fraction === 1)).toHaveLength(1);
      expect(whole.at(-1)).toBe(1);
      expect(whole).toEqual(whole.toSorted((a, b) => a - b));
      for (const at of new Set([1, whole.length >> 1, whole.length - 1])) {
        const stop = new AbortController();
        const reason = new Error('enough');
        let news = 0;
        const task = run({
          signal: stop.signal,
          onProgress: () => {
            if (++news === at) setImmediate(() => stop.abort(reason));
          },
        });
        await expect(task).rejects.toBe(reason);
        expect(news).toBeLessThanOrEqual(at + 1);
      }
    } finally {
      clock.mockRestore();
    }
  });
});

describe('work in pieces', () => {
  it('gives the same to the last bit as work at one go', async () => {
    expect(await measurePatternInPieces(mug)).toEqual(measurePattern(mug));
    expect(await measurePatternInPieces(open)).toEqual(measurePattern(open));
    const view = { longestPx: 300, look: [1, 2, -1] as const };
    expect(await renderViewInPieces(mug, view)).toEqual(renderView(mug, view));
    expect(await shapePartingSurfaceInPieces(mug, draw, { column: 2 })).toEqual(
      shapePartingSurface(mug, draw, { column: 2 }),
    );
    await expect(shapePartingSurfaceInPieces(mug, draw, { slopeLimitDeg: 90 })).rejects.toThrow(/slopeLimitDeg/);
    await expect(measurePatternInPieces(mug, { unknown: 1 } as object)).rejects.toThrow(/measurePatternInPieces/);
  });
});

it('a draw of one’s own is the same in pieces', async () => {
  const whole = candidateAlong(mug, [0, 0.2, 1], { columns: 96 });
  expect(await candidateAlongInPieces(mug, [0, 0.2, 1], { columns: 96 })).toEqual(whole);
});

it('a parting line is the same in pieces', async () => {
  expect(await tracePartingLineInPieces(mug, draw)).toEqual(tracePartingLine(mug, draw));
});
