// @ts-check
// Builds the page into one HTML file that opens from disk: node examples/browser/build.mjs [folder]
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { build } from 'vite';

const here = dirname(fileURLToPath(import.meta.url));

/**
 * The most that the page may weigh, bytes: as it is, and packed as a server would send it; and its own script, which is all
 * that runs before the worker starts. The page weighs 691 kB, 328 kB packed, half of it the card's viewer, packed already.
 */
export const BUDGET = Object.freeze({ bytes: 800_000, gzipped: 370_000, script: 4000 });

/**
 * One module with all it imports, as one classic script.
 *
 * @param {string} entry
 * @returns {Promise<string>}
 */
async function bundle(entry) {
  const made = await build({
    configFile: false,
    logLevel: 'error',
    root: here,
    // Threads are asked for by nobody here; the file they would need is left out of the page.
    worker: { format: 'es' },
    build: {
      write: false,
      target: 'es2022',
      minify: true,
      lib: { entry, formats: ['iife'], name: 'oddsidePage', fileName: 'page' },
    },
  });
  const output = /** @type {{ output: { type: string, code: string }[] }[]} */ (
    /** @type {unknown} */ (Array.isArray(made) ? made : [made])
  );
  const code = output[0].output.find((part) => part.type === 'chunk')?.code;
  if (!code) throw new Error(`Nothing came out of ${entry}`);
  return code;
}

/** The whole page. */
export async function buildPage() {
  const worker = await bundle('worker.mjs');
  const page = await bundle('page.mjs');
  // Inside a script element only "</script" and "<!--" are special; in a string or a pattern \x3c says the same as <.
  const safe = (/** @type {string} */ code) => code.replace(/<(?=\/script|!--)/gi, '\\x3c');
  const scripts = `<script>globalThis.ODDSIDE_WORKER = ${safe(JSON.stringify(worker))};</script>\n<script>${safe(page)}</script>`;
  return readFileSync(join(here, 'index.html'), 'utf8').replace('<!-- script -->', () => scripts);
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const folder = process.argv[2] ?? join(here, '../out/browser');
  const page = await buildPage();
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, 'index.html'), page);
  const gzipped = gzipSync(page).length;
  console.log(`${join(folder, 'index.html')}: ${Buffer.byteLength(page)} bytes, ${gzipped} gzipped`);
  if (Buffer.byteLength(page) > BUDGET.bytes || gzipped > BUDGET.gzipped) {
    console.log(`That is over the budget of ${BUDGET.bytes} and ${BUDGET.gzipped} bytes.`);
    process.exitCode = 1;
  }
}
