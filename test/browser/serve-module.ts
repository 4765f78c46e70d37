/** A page that runs a module, built as a user's bundler would build it and served, so that its workers can start. */
import { createServer } from 'node:http';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { build } from 'vite';

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.wasm': 'application/wasm',
};

/** A page that is served. */
export interface ServedPage {
  readonly address: string;
  close(): void;
}

/** Builds and serves a page that runs `source`, a module. */
export async function serveModule(source: string): Promise<ServedPage> {
  const folder = mkdtempSync(join(tmpdir(), 'oddside-page-'));
  writeFileSync(join(folder, 'page.js'), source);
  writeFileSync(join(folder, 'index.html'), '<!doctype html><script type="module" src="./page.js"></script>');
  await build({
    configFile: false,
    logLevel: 'error',
    root: folder,
    resolve: { conditions: ['@oddside/source', 'module', 'browser', 'import', 'default'] },
    worker: { format: 'es' },
    build: { target: 'es2022', outDir: 'out', minify: false },
  });
  const server = createServer((request, response) => {
    const file = request.url === '/' ? '/index.html' : request.url!;
    response.setHeader('content-type', TYPES[extname(file)] ?? 'application/octet-stream');
    // The browser asks for an icon by itself; there is none.
    if (file === '/favicon.ico') response.writeHead(204).end();
    else response.end(readFileSync(join(folder, 'out', file)));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close: () => {
      server.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
