import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSolids, type Solids } from '@oddside/solids';
import { asPattern, torus } from '../helpers/shapes.js';
import { HAS_BROWSER, openBrowser, openPage } from './open-browser.js';
import { serveModule, type ServedPage } from './serve-module.js';

const SOLIDS = fileURLToPath(new URL('../../packages/solids/src/index.ts', import.meta.url));
const mesh = torus(60, 20, 24, 12);

/** What the page runs, in threads and without, and what an abort and a mistake come to in threads. */
const PAGE = `
import { openSolids } from '${SOLIDS}';
const mesh = ${JSON.stringify({ positions: [...mesh.positions], triangles: [...mesh.triangles] })};
const pattern = {
  name: 'ring',
  positions: Float64Array.from(mesh.positions),
  triangles: Uint32Array.from(mesh.triangles),
  unit: { name: 'mm', from: 'caller' },
  findings: [],
};
const draw = [0.1, 0.05, 1];
const joint = { kind: 'level', height: 0 };
globalThis.make = async (threads) => {
  const solids = await openSolids({ threads });
  const stop = new AbortController();
  const aborted = solids.fillBackDraft(pattern, draw, { signal: stop.signal }).catch(({ message }) => message);
  stop.abort(new Error('the kettle boiled over'));
  const [made, wrong, reason] = [
    await Promise.all([
      solids.fillBackDraft(pattern, draw),
      solids.splitPattern(pattern, draw, { joint }),
      solids.followBoard(pattern, draw, { joint }),
    ]),
    await solids.proveDraw(pattern, [0, 0, 0]).catch(({ code, message }) => [code, message]),
    await aborted,
  ];
  solids.dispose();
  return [JSON.stringify(made), JSON.stringify(wrong), reason];
};`;

describe.skipIf(!HAS_BROWSER)('solids in a browser', () => {
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

  it('are made in Web Workers as without, and as in Node, bit for bit', async () => {
    const { page, errors } = await openPage(browser, served.address);
    const workers: string[] = [];
    page.on('worker', (worker) => workers.push(worker.url()));
    const make = (threads: number): Promise<string[]> =>
      page.evaluate((n) => (globalThis as unknown as { make(n: number): Promise<string[]> }).make(n), threads);
    const [without, withThreads] = [await make(0), await make(2)];
    expect(errors).toEqual([]);
    expect(workers).toHaveLength(2);
    expect(withThreads[0] === without[0]).toBe(true);
    expect(withThreads.slice(1)).toEqual(without.slice(1));
    expect(without.slice(1)).toEqual([expect.stringContaining('bad-direction'), 'the kettle boiled over']);
    const solids: Solids = await openSolids();
    const pattern = { ...asPattern(mesh), name: 'ring' };
    const [draw, joint] = [[0.1, 0.05, 1], { kind: 'level', height: 0 }] as const;
    const here = [
      await solids.fillBackDraft(pattern, draw),
      await solids.splitPattern(pattern, draw, { joint }),
      await solids.followBoard(pattern, draw, { joint }),
    ];
    expect(JSON.stringify(here) === without[0]).toBe(true);
  });
});
