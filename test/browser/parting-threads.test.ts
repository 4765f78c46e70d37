import { createServer, type Server } from 'node:http';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser } from 'playwright-core';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { advisePartings } from '@oddside/parting';
import { asPattern, lippedChannel, scale } from '../helpers/shapes.js';
import { HAS_BROWSER, openBrowser, openPage } from './open-browser.js';

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
  const folder = mkdtempSync(join(tmpdir(), 'oddside-threads-'));
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
    const types: Record<string, string> = { '.html': 'text/html', '.js': 'text/javascript' };
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

  it('are Web Workers, and give the advice of none, and of Node, bit for bit', async () => {
    const { page, errors } = await openPage(browser, address);
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
