// @ts-check
import { existsSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { renderMouldCard } from '@oddside/card';
import { startPacing } from '@oddside/core';
import { planCasting } from 'oddside';
import { layPattern } from '../../packages/oddside/dist/lay-pattern.js';
import { PLAN_CASTING_DEFAULTS } from '../../packages/oddside/dist/plan-options.js';
import { showJob } from '../../packages/oddside/dist/show-job.js';
import { loadShapes } from '../harness.mjs';

const chromium = [
  process.env.CHROMIUM,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((place) => place !== undefined && existsSync(place));

/** A quick plan of a ring of 100,800 triangles that lies askew. @param {number} picturePx */
async function planRing(picturePx) {
  const shapes = await loadShapes();
  const pattern = shapes.asPattern(shapes.torus(60, 20, 360, 140), 'fender ring');
  const draw = /** @type {const} */ ([0.1, 0.05, 1]);
  const few = { alloy: 'bz95_5', meshIs: 'pattern', samples: 100, columns: 128, direction: draw, picturePx };
  return planCasting(pattern, /** @type {any} */ (few));
}

/** @type {import('../harness.mjs').Case} */
const page = {
  name: 'mould card of a planned job, 100,800 triangles',
  prepare: () => planRing(640),
  ours: renderMouldCard,
  same: (/** @type {string} */ card) => card.startsWith('<!doctype html>') && card.includes('viewer-script'),
  atMostMs: 1000,
};

/** @type {import('../harness.mjs').Case} */
const everything = {
  name: 'pictures, viewer, joints compared and mould card, 100,800 triangles',
  prepare: async () => {
    const job = await planRing(0);
    const { direction, candidate } = job.mould;
    const laid = layPattern(job.pattern, direction, candidate.assessment.flat.height);
    return { job, laid };
  },
  ours: async (/** @type {any} */ { job, laid }) => {
    const { line, advice, surface, mould } = job;
    const { slopeLimitDeg } = surface;
    const shown = await showJob(
      laid,
      line,
      mould.candidate,
      advice,
      slopeLimitDeg,
      PLAN_CASTING_DEFAULTS,
      startPacing(),
    );
    return renderMouldCard({ ...job, ...shown });
  },
  same: (/** @type {string} */ card) => (card.match(/<image/g) ?? []).length >= 8 || 'pictures are missing',
  rounds: 5,
};

/**
 * Opens the card in an empty tab, until its viewer has drawn and listens.
 *
 * @type {import('../harness.mjs').Case}
 */
const viewer = {
  name: 'viewer of the mould card, from opening the file to its first frame, software WebGL',
  prepare: async () => {
    const { chromium: browsers } = await import('playwright-core');
    const browser = await browsers.launch({
      executablePath: chromium,
      args: ['--no-sandbox', '--disable-gpu', '--use-angle=swiftshader', '--enable-unsafe-swiftshader'],
    });
    const file = join(mkdtempSync(join(tmpdir(), 'oddside-bench-')), 'card.html');
    writeFileSync(file, renderMouldCard(await planRing(640)));
    // A fresh tab for every round: one that has shown the card keeps its shaders. Opening tabs is not what is timed.
    const tabs = await Promise.all(Array.from({ length: 12 }, () => browser.newPage()));
    return { browser, tabs, address: pathToFileURL(file).href };
  },
  ours: async (/** @type {any} */ { tabs, address }) => {
    const tab = tabs.pop();
    await tab.goto(address, { waitUntil: 'commit' });
    await tab.waitForSelector('#viewer[data-ready]');
    return tab.evaluate(
      () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true)))),
    );
  },
  finish: (/** @type {any} */ { browser }) => browser.close(),
  same: (/** @type {boolean} */ ready) => ready,
  atMostMs: 1500,
  rounds: 5,
};

/** @type {import('../harness.mjs').Case[]} */
export const cases = [page, everything, ...(chromium ? [viewer] : [])];
