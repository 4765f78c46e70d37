/** Chromium for the tests that need a page: the one of the system, or the one that CHROMIUM names. */
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';

const PLACES = [
  process.env['CHROMIUM'],
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];
const executablePath = PLACES.find((place) => place !== undefined && existsSync(place));

/** False where there is none; the tests are then skipped, and say so. */
export const HAS_BROWSER: boolean = executablePath !== undefined;
if (!HAS_BROWSER) {
  console.warn('No Chromium found: the tests in a browser are skipped. Install it, or name it in CHROMIUM.');
}

export function openBrowser(): Promise<Browser> {
  const quiet = [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    // WebGL in software, as on a machine without a graphics card.
    '--use-angle=swiftshader',
    '--enable-unsafe-swiftshader',
  ];
  return chromium.launch({ executablePath, args: quiet });
}

/** A page with a record of what went wrong in it and what it asked of the network. */
export interface WatchedPage {
  readonly page: Page;
  readonly errors: string[];
  /** Everything asked for but the page itself, data and blobs. */
  readonly requests: string[];
}

export async function openPage(
  browser: Browser,
  address: string,
  options: BrowserContextOptions = {},
): Promise<WatchedPage> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const errors: string[] = [];
  const requests: string[] = [];
  page.on('console', (message) => message.type() === 'error' && errors.push(message.text()));
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('request', (request) => {
    const url = request.url();
    if (url !== address && !/^(data|blob|about):/.test(url)) requests.push(url);
  });
  await page.goto(address);
  return { page, errors, requests };
}

/** What axe-core finds that is serious or critical. */
export async function seriousFaults(page: Page): Promise<string[]> {
  const axe = createRequire(import.meta.url).resolve('axe-core/axe.min.js');
  await page.addScriptTag({ content: readFileSync(axe, 'utf8') });
  return page.evaluate(async () => {
    type Axe = {
      run(): Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }>;
    };
    const { violations } = await (globalThis as unknown as { axe: Axe }).axe.run();
    return violations
      .filter(({ impact }) => impact === 'serious' || impact === 'critical')
      .map(({ id, nodes }) => `${id}: ${nodes[0].html.slice(0, 160)}`);
  });
}
