import { renderMouldCard, TONES } from '@oddside/card';
import { formatLength, formatMass, formatShare } from '@oddside/core';
import { beforeAll, describe, expect, it } from 'vitest';
import { planCasting, type CastingJob } from 'oddside';
import { asPattern, boxesUnion, span } from '../helpers/shapes.js';
import { planBracket } from './sample-job.js';

/** The page's words, with entities read back and blanks made one. */
function words(page: string): string {
  return page
    .replace(/<(style|script)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]+>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/&quot;/g, '"')
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ');
}

describe('renderMouldCard', () => {
  let job: CastingJob;
  let page: string;
  beforeAll(async () => {
    job = await planBracket();
    page = renderMouldCard(job);
  });

  it('is one page that asks the network for nothing', () => {
    expect(page).toMatch(/^<!doctype html>/);
    const addresses = [...page.matchAll(/(?:src|href)="([^"]{0,60})/g)].map(([, to]) => to);
    expect(addresses.length).toBeGreaterThan(3);
    expect(addresses.filter((to) => !/^(data:|#|blob:)/.test(to))).toEqual([]);
    expect(page.replace(/xmlns="[^"]*"/g, '')).not.toMatch(/@import|url\((?!data:|#)/);
  });

  it('shows the numbers of the job', () => {
    const text = words(page);
    const { mould, metal, sizes } = job;
    for (const expected of [
      formatLength(mould.copeDepth),
      formatLength(mould.dragDepth),
      formatLength(mould.sand.flaskLength),
      formatMass(metal.chargeMassKg.value),
      formatMass(metal.castingMassKg.value),
      formatShare(sizes.contraction.value),
      ...sizes.pattern.map((side) => formatLength(side)),
      ...metal.charge.map((line) => formatMass(line.massKg)),
      ...job.findings.map((finding) => finding.message.replace(/\s+/g, ' ')),
      ...job.cautions.map((caution) => caution.text),
      job.banner,
    ]) {
      expect(text, expected).toContain(expected);
    }
    expect(text).not.toMatch(/undefined|NaN|\[object|Infinity/);
  });

  it('says of a tray with pockets from both sides that its joint is flat outside the pattern', async () => {
    const tray = boxesUnion(
      [span([0, 120], [0, 60], [0, 40])],
      [span([10, 55], [10, 50], [10, 40]), span([65, 110], [10, 50], [0, 30])],
    );
    const few = { alloy: 'bz95_5', samples: 60, columns: 128, picturePx: 0, direction: [0, 0, 1] } as const;
    const planned = await planCasting(asPattern(tray, 'tray'), few);
    const { assessment } = planned.mould.candidate;
    expect(assessment.backDraftMm3).toBeLessThan(1e-3);
    // A plane through everything would trap 20 mm under one pocket's floor or the other's; no digging is needed for it.
    expect(assessment.flat.misfitMm3 / planned.sizes.patternScale ** 3).toBeCloseTo(20 * 45 * 40, -3);
    expect(words(renderMouldCard(planned))).toMatch(/Where it parts Flat outside the pattern/);
    const deeper = { ...planned, surface: { ...planned.surface, copeDownMm3: 5000 } };
    expect(words(renderMouldCard(deeper))).toMatch(/Where it parts Follow the pattern/);
  });

  it('shows other numbers for another job', () => {
    const deeper = { ...job, mould: { ...job.mould, copeDepth: 123.4 } };
    expect(words(page)).not.toContain('123 mm');
    expect(words(renderMouldCard(deeper))).toContain('123 mm');
  });

  it('lists the tones that its pictures show and no other', () => {
    const ours = job.pictures.filter((picture) => picture.legend === undefined && !picture.id.startsWith('way-'));
    const shown = new Set(ours.flatMap((picture) => picture.tones));
    expect(shown.size).toBeGreaterThan(1);
    expect(shown.size).toBeLessThan(TONES.length);
    const listed = [...page.matchAll(/<ul class="legend[\s\S]*?<\/ul>/g)].map(([list]) => words(list)).join(' ');
    for (const [i, tone] of TONES.entries()) expect(listed.includes(` ${tone.label} `), tone.label).toBe(shown.has(i));
  });

  it('carries what a user types as text, never as markup', () => {
    const name = `<img src=x onerror="alert(1)"> & 'tiller'`;
    const nasty = renderMouldCard({ ...job, pattern: { ...job.pattern, name } });
    expect(nasty).not.toContain('<img');
    expect(words(nasty)).toContain(name);
    const finding = { code: 'x', severity: 'problem', message: '</main><script>alert(2)</script>' } as const;
    expect(renderMouldCard({ ...job, findings: [finding] })).not.toContain('<script>alert(2)');
  });

  it('speaks the units asked for', () => {
    const imperial = words(renderMouldCard({ ...job, show: 'imperial' }));
    expect(imperial).toContain(formatLength(job.mould.copeDepth, 'imperial'));
    expect(imperial).toContain(formatMass(job.metal.castingMassKg.low, 'imperial'));
    expect(imperial).not.toContain(formatLength(job.mould.sand.flaskLength, 'metric'));
    const both = words(renderMouldCard({ ...job, show: 'both' }));
    expect(both).toContain(formatLength(job.mould.copeDepth, 'both'));
  });
});
