import { createServer, type Server } from 'node:http';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openSolids, type Solids } from '@oddside/solids';
import { asPattern, torus } from '../helpers/shapes.js';
import { HAS_BROWSER, openBrowser, openPage } from './open-browser.js';

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
  const folder = mkdtempSync(join(tmpdir(), 'oddside-solids-page-'));
  let browser: Browser;
  let server: Server;
  let address: string;

  beforeAll(async () => {
    writeFileSync(join(folder, 'page.js'), PAGE);
    writeFileSync(join(folder, 'index.html'), '<!doctype html><script type="module" src="./page.js"></script>');
    await build({
      configFile: false,
      logLevel: 'error',
      root: folder,
      resolve: { conditions: ['@oddside/source', 'module', 'browser', 'import', 'default'] },
      worker: { format: 'es' },
      build: { target: 'es2022', outDir: 'out', minify: false },
    });
    const types: Record<string, string> = {
      '.html': 'text/html',
      '.js': 'text/javascript',
      '.wasm': 'application/wasm',
    };
    server = createServer((request, response) => {
      const file = request.url === '/' ? '/index.html' : request.url!;
      response.setHeader('content-type', types[extname(file)] ?? 'application/octet-stream');
      // The browser asks for an icon by itself; there is none.
      if (file === '/favicon.ico') response.writeHead(204).end();
      else response.end(readFileSync(join(folder, 'out', file)));
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/`;
    browser = await openBrowser();
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    server?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('are made in Web Workers as without, and as in Node, bit for bit', async () => {
    const { page, errors } = await openPage(browser, address);
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
