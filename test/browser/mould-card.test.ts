import { renderMouldCard } from '@oddside/card';
import { formatLength, formatMass } from '@oddside/core';
import type { CastingJob } from 'oddside';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { planBracket, withEverything } from '../card/sample-job.js';
import { HAS_BROWSER, openBrowser, openPage, seriousFaults } from './open-browser.js';

const READY = '#viewer[data-ready]';

/** How much of the stage's picture changes when something is done, 0–1. */
async function changeOf(page: Page, act: () => Promise<void>): Promise<number> {
  const shoot = async (): Promise<Buffer> => {
    await page.waitForTimeout(150);
    return page.locator('#viewer-stage').screenshot();
  };
  const before = await shoot();
  await act();
  const after = await shoot();
  return page.evaluate(
    async ([a, b]) => {
      const pixels = async (png: string): Promise<Uint8ClampedArray> => {
        const image = await createImageBitmap(await (await fetch(`data:image/png;base64,${png}`)).blob());
        const context = new OffscreenCanvas(image.width, image.height).getContext('2d')!;
        context.drawImage(image, 0, 0);
        return context.getImageData(0, 0, image.width, image.height).data;
      };
      const [p, q] = [await pixels(a), await pixels(b)];
      let changed = 0;
      for (let i = 0; i < p.length; i += 4) {
        if (Math.abs(p[i] - q[i]) + Math.abs(p[i + 1] - q[i + 1]) + Math.abs(p[i + 2] - q[i + 2]) > 24) changed++;
      }
      return changed / (p.length / 4);
    },
    [before.toString('base64'), after.toString('base64')],
  );
}

describe.skipIf(!HAS_BROWSER)('the mould card, opened from disk', () => {
  let browser: Browser;
  let job: CastingJob;
  let address: string;
  const folder = mkdtempSync(join(tmpdir(), 'oddside-card-'));

  beforeAll(async () => {
    job = withEverything(await planBracket({ name: 'lamp bracket & <arm>' }));
    const file = join(folder, 'card.html');
    writeFileSync(file, renderMouldCard(job));
    address = pathToFileURL(file).href;
    browser = await openBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('asks the network for nothing, has no error, and shows the job’s numbers', async () => {
    const { page, errors, requests } = await openPage(browser, address);
    await page.waitForSelector(READY);
    expect(errors).toEqual([]);
    expect(requests).toEqual([]);
    const text = (await page.innerText('main')).replace(/\s+/g, ' ');
    for (const shown of [
      'lamp bracket & <arm>',
      formatLength(job.mould.copeDepth),
      formatLength(job.mould.dragDepth),
      formatMass(job.metal.chargeMassKg.value),
      formatMass(job.metal.castingMassKg.value),
      formatLength(job.mould.sand.flaskLength),
    ]) {
      expect(text).toContain(shown);
    }
    await page.context().close();
  });

  it('turns, zooms, cuts and recolours in the viewer, with pointer and keys', async () => {
    const { page, errors } = await openPage(browser, address, { reducedMotion: 'reduce' });
    await page.waitForSelector(READY);
    const stage = page.locator('#viewer-stage');
    await stage.scrollIntoViewIfNeeded();
    expect(await changeOf(page, async () => {})).toBe(0);
    const box = (await stage.boundingBox())!;
    const drag = async (): Promise<void> => {
      await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
      await page.mouse.down();
      await page.mouse.move(box.x + box.width / 2 + 90, box.y + box.height / 2 + 20, { steps: 4 });
      await page.mouse.up();
    };
    expect(await changeOf(page, drag)).toBeGreaterThan(0.01);
    expect(await changeOf(page, () => stage.press('ArrowLeft'))).toBeGreaterThan(0.01);
    expect(await changeOf(page, () => stage.press('+'))).toBeGreaterThan(0.01);
    expect(await changeOf(page, () => page.fill('#viewer-cut', '90'))).toBeGreaterThan(0.01);
    expect(await page.innerText('#viewer-says')).toMatch(/^Cut .* (above|below) the joint/);
    await page.fill('#viewer-cut', '200');
    for (const map of ['draft', 'heights', 'halves']) {
      expect(await changeOf(page, () => page.selectOption('#viewer-map', map).then(() => {}))).toBeGreaterThan(0.005);
    }
    expect(await changeOf(page, () => page.selectOption('#viewer-way', '1').then(() => {}))).toBeGreaterThan(0.01);
    expect(errors).toEqual([]);
    await page.context().close();
  });

  it('tells the draft, the height and the metal of a place', async () => {
    const { page } = await openPage(browser, address);
    await page.waitForSelector(READY);
    await page.locator('#viewer-stage').press('Enter');
    expect(await page.innerText('#viewer-says')).toMatch(
      /^(Draft [\d.]+°, [\d.]+ mm (above|below) the joint(, [\d.]+ mm of metal behind it)?\.|Nothing there)/,
    );
    // The middle of a bracket may be a hole; somewhere along this line there is metal.
    const box = (await page.locator('#viewer-stage').boundingBox())!;
    const said: string[] = [];
    for (let i = 3; i < 10; i++) {
      await page.mouse.click(box.x + (box.width * i) / 12, box.y + box.height * 0.5);
      said.push(await page.innerText('#viewer-says'));
    }
    expect(said.filter((text) => /^Draft [\d.]+°/.test(text)).length).toBeGreaterThan(0);
    await page.context().close();
  });

  it('stops the cope where sand is held, and says so', async () => {
    const { page } = await openPage(browser, address, { reducedMotion: 'reduce' });
    await page.waitForSelector(READY);
    await page.click('#viewer-draw');
    await page.waitForFunction(() =>
      /stops at once|draws clear/.test(document.getElementById('viewer-says')!.textContent!),
    );
    // The bracket's arm holds sand whichever way it lies.
    expect(await page.innerText('#viewer-says')).toMatch(/stops at once/);
    await page.context().close();
  });

  it('carries everything in its stills where there is no script', async () => {
    const { page } = await openPage(browser, address, { javaScriptEnabled: false });
    expect(await page.locator('#viewer').isVisible()).toBe(false);
    expect(await page.locator('figure').count()).toBeGreaterThan(6);
    await page.context().close();
  });

  it('has nothing serious against it and needs no sideways scroll: light and dark, wide and on a phone', async () => {
    const { page } = await openPage(browser, address);
    await page.waitForSelector(READY);
    await page.evaluate(() => document.querySelectorAll('details').forEach((each) => (each.open = true)));
    for (const width of [1000, 400]) {
      await page.setViewportSize({ width, height: 900 });
      for (const colorScheme of ['light', 'dark'] as const) {
        await page.emulateMedia({ colorScheme });
        expect(await seriousFaults(page), `${colorScheme}, ${width} px`).toEqual([]);
      }
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), `${width} px`).toBe(0);
    }
    await page.context().close();
  });

  it.each(['A4', 'Letter'])('prints on two sheets of %s with nothing beyond their edge', async (format) => {
    const { page } = await openPage(browser, address);
    const pdf = (await page.pdf({ format })).toString('latin1');
    expect([...pdf.matchAll(/\/Type\s*\/Page\b(?!s)/g)]).toHaveLength(2);
    await page.emulateMedia({ media: 'print' });
    // 96 px to the inch, less the page's own rim.
    await page.setViewportSize({
      width: Math.floor(((format === 'A4' ? 210 : 215.9) - 18) * (96 / 25.4)),
      height: 1000,
    });
    const beyond = await page.evaluate(() =>
      [...document.querySelectorAll('main *')]
        .filter((each) => each.getBoundingClientRect().right > innerWidth + 1)
        .map((each) => each.outerHTML.slice(0, 80)),
    );
    expect(beyond).toEqual([]);
    await page.context().close();
  });
});
