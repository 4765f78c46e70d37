import { encodePattern } from '@oddside/pattern';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BUDGET, buildPage } from '../../examples/browser/build.mjs';
import { bracket } from '../card/sample-job.js';
import { asPattern, sphere } from '../helpers/shapes.js';
import { HAS_BROWSER, openBrowser, openPage, seriousFaults } from './open-browser.js';

const saysMatch = (pattern: string): boolean =>
  new RegExp(pattern).test(document.getElementById('says')!.textContent ?? '');

describe.skipIf(!HAS_BROWSER)('the page that plans a dropped scan', () => {
  const folder = mkdtempSync(join(tmpdir(), 'oddside-page-'));
  let browser: Browser;
  let address: string;
  let html: string;

  beforeAll(async () => {
    html = await buildPage();
    const file = join(folder, 'index.html');
    writeFileSync(file, html);
    writeFileSync(join(folder, 'lamp bracket ü.stl'), encodePattern(asPattern(bracket()), 'stl'));
    writeFileSync(join(folder, 'ball.stl'), encodePattern(asPattern(sphere(40, 6)), 'stl'));
    writeFileSync(join(folder, 'empty.stl'), '');
    address = pathToFileURL(file).href;
    browser = await openBrowser();
  }, 120_000);
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('keeps to its budget', () => {
    expect(Buffer.byteLength(html)).toBeLessThan(BUDGET.bytes);
    expect(gzipSync(html).length).toBeLessThan(BUDGET.gzipped);
    const [, own] = /<\/script>\s*<script>([\s\S]*?)<\/script>/.exec(html)!;
    expect(own).toContain('ODDSIDE_WORKER');
    expect(own.length).toBeLessThan(BUDGET.script);
  });

  it('carries no engine that planning does not need', () => {
    // Parts are made elsewhere, and three comes packed inside the card's viewer, to be unpacked where a card is opened.
    expect(html).not.toMatch(/manifold\.wasm|WebGLRenderer/);
    expect(html).toContain('viewer-script');
  });

  it('plans in a worker from disk, without a server, and hands out the card and the job', async () => {
    const { page, errors, requests } = await openPage(browser, address, { acceptDownloads: true });
    await page.waitForFunction(saysMatch, '^Ready');
    expect(await page.locator('#alloy option').count()).toBeGreaterThan(10);
    expect(await seriousFaults(page)).toEqual([]);

    // Dropped, not chosen: the same file as a drag and drop brings it.
    const bytes = [...readFileSync(join(folder, 'lamp bracket ü.stl'))];
    const transfer = await page.evaluateHandle((list) => {
      const data = new DataTransfer();
      data.items.add(new File([Uint8Array.from(list)], 'lamp bracket ü.stl'));
      return data;
    }, bytes);
    await page.dispatchEvent('#drop', 'drop', { dataTransfer: transfer });
    await page.waitForFunction(saysMatch, '^Planned: lamp bracket ü', { timeout: 120_000 });
    const card = page.frameLocator('#card');
    expect(await card.locator('h1').innerText()).toBe('lamp bracket ü');

    const saved = async (button: string): Promise<string> => {
      const [download] = await Promise.all([page.waitForEvent('download'), page.click(button)]);
      return readFileSync(await download.path(), 'utf8');
    };
    expect(await saved('#save-card')).toMatch(/^<!doctype html>/);
    const job = JSON.parse(await saved('#save-job'));
    expect(job).toMatchObject({
      schemaVersion: 1,
      pattern: { name: 'lamp bracket ü' },
      units: { length: 'mm', mass: 'kg' },
    });
    expect(job.inspection.closed).toBe(true);
    expect(errors).toEqual([]);
    expect(requests).toEqual([]);
    await page.context().close();
  }, 180_000);

  it('cancels cleanly, and plans the next scan', async () => {
    const { page, errors } = await openPage(browser, address);
    await page.waitForFunction(saysMatch, '^Ready');
    await page.setInputFiles('#file', join(folder, 'ball.stl'));
    await page.waitForFunction(() => (document.getElementById('progress') as HTMLProgressElement).value > 0.05, null, {
      timeout: 60_000,
    });
    await page.click('#cancel');
    await page.waitForFunction(saysMatch, '^Cancelled', { timeout: 5000 });
    expect(await page.locator('#working').isVisible()).toBe(false);
    expect(await page.locator('#result').isVisible()).toBe(false);
    await page.setInputFiles('#file', join(folder, 'lamp bracket ü.stl'));
    await page.waitForFunction(saysMatch, '^Planned', { timeout: 120_000 });
    expect(errors).toEqual([]);
    await page.context().close();
  }, 180_000);

  it('says what is wrong with a file that holds nothing', async () => {
    const { page, errors } = await openPage(browser, address);
    await page.waitForFunction(saysMatch, '^Ready');
    await page.setInputFiles('#file', join(folder, 'empty.stl'));
    await page.waitForFunction(saysMatch, 'empty|no bytes|nothing', { timeout: 10_000 });
    expect(errors).toEqual([]);
    await page.context().close();
  });
});
