import { isOddsideError, pounds } from '@oddside/core';
import { measurePattern } from '@oddside/pattern';
import { planCasting, summariseJob, toJson } from 'oddside';
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import {
  asPattern,
  boundsOf,
  box,
  hollowCube,
  keepTriangles,
  rotate,
  scale,
  sphere,
  translate,
  turnOver,
  uNotch,
} from '../helpers/shapes.js';

const quick = { samples: 120, columns: 96, picturePx: 0 } as const;
const hare = readFileSync(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url));

async function codeOf(promise: Promise<unknown>): Promise<{ code: string; message: string }> {
  try {
    await promise;
  } catch (error) {
    if (isOddsideError(error)) return { code: error.code, message: error.message };
    throw error;
  }
  return { code: 'none', message: '' };
}

describe('the whole job on the hare', () => {
  test('says how it lies, where it parts, what is trapped and what to melt', async () => {
    const job = await planCasting(hare, { ...quick, unit: 'mm', alloy: 'bz95_5' });
    expect(job.inspection).toMatchObject({ closed: true, consistent: true, triangles: 3674 });
    expect(job.advice.candidates.length).toBeGreaterThanOrEqual(3);
    const { candidate } = job.mould;
    expect(candidate.rank).toBe(1);
    // Without flasks and faces to be machined: all criteria but those two.
    expect(candidate.criteria.map(({ id }) => id).join(' ')).toBe(
      'backDraft flatMisfit copeDepth dragDepth projectedArea shallowDraft digging lineLength lineRise fineDetail heavySection',
    );
    for (const criterion of candidate.criteria)
      expect(criterion.points).toBeCloseTo(criterion.share * criterion.weight, 12);
    // A scanned hare with ears: nearly draws on its side, and holds much more standing up.
    expect(candidate.assessment.backDraftMm3 / candidate.assessment.solidMm3).toBeLessThan(0.003);
    expect(job.mould.copeDepth + job.mould.dragDepth).toBeCloseTo(job.sizes.pattern[2], 6);
    // Between its ears the joint would have to climb more steeply than sand stands.
    const problems = job.findings.filter((finding) => finding.severity === 'problem');
    expect(problems.map((finding) => finding.code)).toEqual(['joint-too-steep']);
    expect(job.banner).toMatch(/local codes/);
    expect(summariseJob(job).startsWith('Estimates only.')).toBe(true);
  });

  test('pattern, casting and metal agree with each other', async () => {
    const job = await planCasting(hare, { ...quick, unit: 'mm', alloy: 'bz95_5' });
    const { sizes, metal, measures } = job;
    expect(sizes.patternScale / sizes.castingScale).toBeCloseTo(1 + sizes.contraction.value, 12);
    expect(measurePattern(job.laid).volumeMm3).toBeCloseTo(measures.volumeMm3 * sizes.patternScale ** 3, 3);
    expect(metal.castingMassKg.value).toBeCloseTo(sizes.castingVolumeMm3 * 8860e-9, 9);
    const charge = metal.charge.reduce((sum, line) => sum + line.massKg * (1 - line.lossFraction), 0);
    expect(charge).toBeCloseTo(metal.meltMassKg.value, 9);
  });

  test('its JSON survives a round trip and carries no mesh', async () => {
    const job = await planCasting(hare, { ...quick, unit: 'mm', alloy: 'c90500' });
    const json = toJson(job);
    expect(JSON.parse(JSON.stringify(json))).toEqual(json);
    expect(json).not.toHaveProperty('laid');
    expect(json.pattern).not.toHaveProperty('positions');
  });

  test('a turned, moved scan gets the same advice', async () => {
    const one = asPattern(await meshOf());
    const turned = asPattern(translate(rotate(one, [1, 2, -1], 77), [1e6, -2e5, 3e5]));
    const options = { ...quick, columns: 192, samples: 400, alloy: 'bz95_5' };
    const [a, b] = [await planCasting(one, options), await planCasting(turned, options)];
    // Other samples and another grid: the figures agree to what the search and the columns can tell apart.
    expect(b.metal.castingMassKg.value / a.metal.castingMassKg.value).toBeCloseTo(1, 6);
    expect(b.mould.candidate.points / a.mould.candidate.points).toBeCloseTo(1, 1);
    expect(b.sizes.pattern[2] / a.sizes.pattern[2]).toBeCloseTo(1, 1);
  });
});

async function meshOf(): Promise<{ positions: Float64Array; triangles: Uint32Array }> {
  const { decodePattern } = await import('@oddside/pattern');
  return decodePattern(hare, { unit: 'mm' });
}

describe('closed forms', () => {
  test('410 cm³ of 95/5 weighs 8 lb, and at 61.5 % of yield 13 lb are melted (common practice, no source)', async () => {
    const side = Math.cbrt(410_000);
    const cube = asPattern(box([0, 0, 0], [side, side, side]), 'test cube');
    const job = await planCasting(cube, { ...quick, alloy: 'bz95_5', yieldFraction: 8 / 13 });
    expect(job.metal.castingMassKg.value).toBeCloseTo(pounds(8), 1);
    expect(job.metal.meltMassKg.value).toBeCloseTo(pounds(13), 1);
    const [copper, tin] = job.metal.charge;
    expect(copper?.netMassKg).toBeCloseTo(pounds(12.35), 1);
    expect(tin?.netMassKg).toBeCloseTo(pounds(0.65), 2);
    expect(job.mould.candidate.verdict).toBe('draws-flat');
    expect(job.mould.candidate.assessment.backDraftMm3).toBeLessThan(1e-9 * 410_000);
  });

  test('a box lies wholly in the drag, and the flask follows from its sides', async () => {
    const job = await planCasting(asPattern(box([0, 0, 0], [120, 80, 30])), {
      ...quick,
      alloy: 'a356',
      meshIs: 'pattern',
    });
    expect(job.sizes.patternScale).toBe(1);
    expect(job.sizes.castingScale).toBeCloseTo(1 / (1 + job.sizes.contraction.value), 12);
    expect(job.mould.copeDepth).toBeCloseTo(0, 9);
    expect(job.mould.sand.dragHeight).toBeCloseTo(job.mould.dragDepth + job.mould.sand.margins.below.value, 9);
    expect(Math.max(job.mould.sand.flaskLength, job.mould.sand.flaskWidth)).toBeLessThan(120 + 60 + 3);
  });

  test('a wanted length scales casting and pattern', async () => {
    const job = await planCasting(asPattern(sphere(10, 4)), { ...quick, alloy: 'bz95_5', castingLength: 50 });
    expect(job.sizes.castingScale).toBeCloseTo(50 / 20, 3);
    expect(job.sizes.casting[0]).toBeCloseTo(50, 0);
    expect(job.sizes.pattern[0] / job.sizes.casting[0]).toBeCloseTo(1 + job.sizes.contraction.value, 9);
  });

  test('lift on the cope is the weight of the liquid above the roof', async () => {
    // A box wholly in the drag: its plan area under the whole head, plus runner and gates.
    const job = await planCasting(asPattern(box([0, 0, 0], [100, 100, 40])), {
      ...quick,
      alloy: 'bz95_5',
      direction: [0, 0, 1],
    });
    const { lift, plan } = job.pour;
    const head = job.mould.sand.copeHeight + plan.gating.parts.basin.depth;
    const side = 100 * job.sizes.patternScale;
    const expected = side * side * head * 1e-9 * 9.80665;
    const density = lift.roofN.value / expected;
    expect(density).toBeGreaterThan(7000);
    expect(density).toBeLessThan(8500);
    expect(lift.exact).toBe(true);
  });
});

describe('what is wrong is said', () => {
  test('an alloy that is not known, with the nearest names', async () => {
    const { code, message } = await codeOf(planCasting(hare, { unit: 'mm', alloy: 'c9050' }));
    expect(code).toBe('unknown-alloy');
    expect(message).toMatch(/c90500/i);
  });

  test('no alloy, an unknown option, a way that is not there, a draw of no length', async () => {
    const cube = asPattern(box([0, 0, 0], [50, 50, 50]));
    // @ts-expect-error the alloy is required
    expect((await codeOf(planCasting(cube, {}))).code).toBe('bad-option');
    // @ts-expect-error no such option
    expect((await codeOf(planCasting(cube, { alloy: 'bz95_5', aloy: 1 }))).message).toMatch(/"aloy".*"alloy"/);
    expect((await codeOf(planCasting(cube, { ...quick, alloy: 'bz95_5', way: 9 }))).message).toMatch(/Way 9/);
    const still = planCasting(cube, { ...quick, alloy: 'bz95_5', direction: [0, 0, 0] });
    expect((await codeOf(still)).code).toBe('bad-direction');
  });

  test('a scan with a hole: a problem, not a bare number', async () => {
    const open = asPattern(keepTriangles(box([0, 0, 0], [60, 60, 60]), (i) => i > 0));
    const job = await planCasting(open, { ...quick, alloy: 'bz95_5', mend: false });
    expect(job.measures.reliable).toBe(false);
    expect(job.measures.volumeErrorMm3).toBeGreaterThan(1e-4 * job.measures.volumeMm3);
    expect(job.findings[0]?.severity).toBe('problem');
  });

  test('a scan with a hole is mended openly, and the volume keeps the error of the hole', async () => {
    const open = asPattern(keepTriangles(box([0, 0, 0], [60, 60, 60]), (i) => i > 0));
    const job = await planCasting(open, { ...quick, alloy: 'bz95_5' });
    expect(job.inspection).toMatchObject({ closed: true, consistent: true });
    expect(job.mending.map((step) => step.what)).toContain('fill-holes');
    expect(job.findings.filter((finding) => finding.code === 'mended').length).toBe(job.mending.length);
    expect(job.measures.volumeMm3).toBeCloseTo(60 ** 3, 6);
    expect(job.measures.volumeErrorMm3).toBeGreaterThan(0);
    expect(job.sizes.castingVolumeErrorMm3).toBe(job.measures.volumeErrorMm3);
    expect(job.metal.castingMassKg.high).toBeGreaterThan(job.metal.castingMassKg.value);
  });

  test('flasks at hand: the smallest that fits is named, and why the others do not', async () => {
    const flask = (name: string, length: number, width: number, depth: number) => ({
      name,
      length,
      width,
      copeDepth: depth,
      dragDepth: depth,
    });
    const flasks = [flask('large', 600, 500, 200), flask('small', 150, 150, 100), flask('middle', 400, 300, 150)];
    const job = await planCasting(asPattern(box([0, 0, 0], [120, 80, 30])), { ...quick, alloy: 'a356', flasks });
    expect(job.flasks?.best?.flask.name).toBe('middle');
    expect(job.flasks?.misfits.map(({ flask: { name } }) => name)).toEqual(['small']);
    expect(summariseJob(job)).toMatch(/middle is the smallest that fits/);
  });

  test('held sand comes with cures', async () => {
    const job = await planCasting(asPattern(scale(uNotch(), 30)), { ...quick, alloy: 'bz95_5', direction: [0, 0, 1] });
    expect(job.mould.candidate.verdict).toBe('held');
    expect(job.remedies.length).toBeGreaterThan(0);
    for (const remedy of job.remedies) expect(remedy.sentence).toMatch(/\.$/);
    // A place keeps its height over the joint when the pattern is laid.
    const placed = job.remedies.filter(({ laidAt }) => laidAt !== null);
    expect(placed.length).toBeGreaterThan(0);
    for (const { where, laidAt } of placed) {
      const { min, max } = boundsOf(job.laid);
      expect(laidAt![2]).toBeCloseTo(where![2] - job.mould.joint.height, 9);
      for (const k of [0, 1, 2]) expect(laidAt![k]! >= min[k]! - 1e-9 && laidAt![k]! <= max[k]! + 1e-9).toBe(true);
    }
  });

  test('an inside-out scan is turned, and said to be', async () => {
    const job = await planCasting(asPattern(turnOver(box([0, 0, 0], [60, 50, 40]))), { ...quick, alloy: 'bz95_5' });
    expect(job.mould.candidate.assessment.backDraftMm3).toBeLessThan(1e-6);
    expect(job.findings.map((finding) => finding.code)).toContain('inside-out');
  });

  test('an enclosed void never draws', async () => {
    const job = await planCasting(asPattern(scale(hollowCube(), 40)), { ...quick, alloy: 'bz95_5' });
    expect(job.mould.candidate.verdict).toBe('held');
    expect(job.findings.map((finding) => finding.code)).toContain('no-draw-exists');
  });
});

describe('progress and abort', () => {
  test('the fraction never falls and ends in exactly one 1', async () => {
    const seen: number[] = [];
    await planCasting(hare, { ...quick, unit: 'mm', alloy: 'bz95_5', onProgress: (fraction) => seen.push(fraction) });
    expect(seen.at(-1)).toBe(1);
    expect(seen.filter((fraction) => fraction === 1)).toHaveLength(1);
    for (let i = 1; i < seen.length; i++) expect(seen[i]).toBeGreaterThanOrEqual(seen[i - 1]!);
  });

  test('an abort ends it with the reason given', async () => {
    const stop = new AbortController();
    const reason = new Error('the bell rang');
    const run = planCasting(hare, { samples: 20_000, unit: 'mm', alloy: 'bz95_5', signal: stop.signal });
    setTimeout(() => stop.abort(reason), 30);
    await expect(run).rejects.toBe(reason);
  });
});
