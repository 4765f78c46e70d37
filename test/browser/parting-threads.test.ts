import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { advisePartings } from '@oddside/parting';
import { asPattern, lippedChannel, scale } from '../helpers/shapes.js';
import { HAS_BROWSER, openBrowser, openPage } from './open-browser.js';
import { serveModule, type ServedPage } from './serve-module.js';

const PARTING = fileURLToPath(new URL('../../packages/parting/src/index.ts', import.meta.url));
const mesh = scale(lippedChannel(), 20);
const options = { samples: 300, columns: 64, candidates: 3 };

/** What the page runs: the same advice without threads, and with two that it keeps open, over which it asks twice. */
const PAGE = `
import { advisePartings, openPartingThreads } from '${PARTING}';
const mesh = ${JSON.stringify({ positions: [...mesh.positions], triangles: [...mesh.triangles] })};
const pattern = {
  name: 'channel',
  positions: Float64Array.from(mesh.positions),
  triangles: Uint32Array.from(mesh.triangles),
  unit: { name: 'mm', from: 'caller' },
  findings: [],
};
globalThis.advise = async () => {
  const threads = await openPartingThreads(2);
  const told = [];
  for (const help of [0, threads, threads, 1]) {
    told.push(JSON.stringify(await advisePartings(pattern, { ...${JSON.stringify(options)}, threads: help })));
  }
  threads.close();
  return told;
};`;

describe.skipIf(!HAS_BROWSER)('threads in a browser', () => {
  let browser: Browser;
  let served: ServedPage;

  beforeAll(async () => {
    served = await serveModule(PAGE);
    browser = await openBrowser();
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    served?.close();
  });

  it('are Web Workers, and give the advice of none, and of Node, bit for bit', async () => {
    const { page, errors } = await openPage(browser, served.address);
    const workers: string[] = [];
    page.on('worker', (worker) => workers.push(worker.url()));
    const told = await page.evaluate(() => (globalThis as unknown as { advise(): Promise<string[]> }).advise());
    expect(errors).toEqual([]);
    expect(workers).toHaveLength(3);
    const here = JSON.stringify(await advisePartings({ ...asPattern(mesh), name: 'channel' }, options));
    expect(told).toHaveLength(4);
    for (const advice of told) expect(advice === here).toBe(true);
  });
});
