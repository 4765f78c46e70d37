/** Line, digging and flasks of candidates; closed forms derived by hand, no outside source. */
import { describe, expect, it } from 'vitest';
import {
  advisePartings,
  candidateAlong,
  PARTING_WEIGHTS,
  shapePartingSurface,
  type FlaskSize,
  type PartingCandidate,
} from '@oddside/parting';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';

const along = (mesh: s.Mesh, draw: Vec3, columns = 192): PartingCandidate =>
  candidateAlong(s.asPattern(mesh), draw, { columns });
const sharesOf = (candidate: PartingCandidate): Record<string, number> =>
  Object.fromEntries(candidate.criteria.map(({ id, share }) => [id, share]));

describe('the parting line in figures', () => {
  it.each([
    ['a block', s.box([0, 0, 0], [6, 4, 2]), [0, 0, 1], 20],
    ['a block on its side', s.box([0, 0, 0], [6, 4, 2]), [1, 0, 0], 12],
    ['a ball', s.sphere(10, 4), [0, 0, 1], 20 * Math.PI],
    ['a bar on its side', s.cylinder(10, 60), [1, 0, 0], 160],
    ['a bar on its end', s.cylinder(10, 60), [0, 0, 1], 20 * Math.PI],
    ['a bracket on its side', s.lBracket(), [0, 1, 0], 8],
    ['a plate with a square hole', s.plateWithSquareHole(20, 2, 6), [0, 0, 1], 80 + 24],
  ] as [string, s.Mesh, Vec3, number][])('%s: as long as its outline, and level', (_name, mesh, draw, around) => {
    const { joint, criteria } = along(mesh, draw);
    expect(Math.abs(joint!.lineLength / around - 1)).toBeLessThan(0.01);
    expect(joint!.lineRise + joint!.lineFall).toBeLessThan(0.02 * around);
    expect(criteria.find(({ id }) => id === 'lineLength')).toMatchObject({ unit: 'mm', value: joint!.lineLength });
  });

  it('a flat parting is dug nowhere and does not rise, and its sentences say so', () => {
    const { joint, criteria } = along(s.box([0, 0, 0], [6, 4, 2]), [0, 0, 1]);
    expect(joint).toMatchObject({ copeDownMm3: 0, buildUpMm3: 0, feasible: true, loops: 1 });
    expect(joint!.lineRise + joint!.lineFall).toBeLessThan(1e-9);
    expect(criteria.find(({ id }) => id === 'digging')!.sentence).toMatch(/nothing is dug/);
    expect(criteria.find(({ id }) => id === 'lineRise')!.sentence).toMatch(/lies in the flat joint/);
  });

  it('a tetrahedron on edge: its line climbs a saddle of ±1 and is 4√8 long; what is dug agrees with the surface', () => {
    const pattern = s.asPattern(s.tetrahedron());
    const candidate = candidateAlong(pattern, [0, 0, 1], { columns: 128 });
    const { joint, assessment } = candidate;
    // Four edges of √8 from corners at +1 to corners at −1; flat joint at 0.
    expect(Math.abs(joint!.lineLength / (4 * Math.sqrt(8)) - 1)).toBeLessThan(0.01);
    expect(joint!.lineRise).toBeCloseTo(1, 1);
    expect(joint!.lineFall).toBeCloseTo(1, 1);
    // The saddle looks the same turned over by a quarter, so as much is dug as built.
    expect(Math.abs(joint!.copeDownMm3 / joint!.buildUpMm3 - 1)).toBeLessThan(0.15);
    const surface = shapePartingSurface(pattern, assessment, { column: assessment.column, band: assessment.column });
    const off = joint!.digErrorMm3 + surface.volumeErrorMm3;
    expect(Math.abs(joint!.copeDownMm3 - surface.copeDownMm3)).toBeLessThan(off);
    expect(joint!.copeDownMm3).toBeGreaterThan(3 * joint!.digErrorMm3);
  });

  it('digging: a disc above the joint and one below take the volume of their two cones of sand', () => {
    // The sand falls from the one rim, and rises from the other, at the slope allowed.
    const [R, H] = [10, 2];
    const L = Math.tan(Math.PI / 6);
    const apart = 60;
    const high = s.translate(s.cylinder(R, 1, 128), [-apart / 2, 0, H]);
    const low = s.translate(s.cylinder(R, 1, 128), [apart / 2, 0, -H - 1]);
    const { joint } = along(s.merge(high, low), [0, 0, 1], 256);
    const cone = ((Math.PI * H * H) / L) * (R + H / (3 * L));
    // The flat joint may lie anywhere from −H to H and goes half way.
    expect(Math.abs(joint!.buildUpMm3 / cone - 1)).toBeLessThan(0.05);
    expect(Math.abs(joint!.copeDownMm3 / cone - 1)).toBeLessThan(0.05);
    expect(joint!.lineRise).toBeCloseTo(H, 6);
    expect(joint!.lineFall).toBeCloseTo(H, 6);
  });

  it('turned over, what was dug is built and what rose falls', () => {
    const mesh = s.pinnedStairs();
    const up = along(mesh, [0, 0, 1]).joint!;
    const down = along(mesh, [0, 0, -1]).joint!;
    const off = up.digErrorMm3 + down.digErrorMm3;
    expect(Math.abs(up.copeDownMm3 - down.buildUpMm3)).toBeLessThan(off);
    expect(up.lineRise).toBeCloseTo(down.lineFall, 6);
    expect(up.lineLength / down.lineLength).toBeCloseTo(1, 2);
  });

  it('all criteria in the order of the weights, their points adding up; without joints three fewer', async () => {
    const flasks = [{ name: 'the flask', length: 300, width: 300, copeDepth: 150, dragDepth: 150 }];
    const wishes = { machined: [{ normal: [0, 0, 1] as Vec3 }] };
    const quick = { samples: 60, searchColumns: 24, columns: 64, candidates: 3 };
    const block = s.asPattern(s.box([0, 0, 0], [60, 40, 20]));
    const { candidates } = await advisePartings(block, { ...quick, flasks, wishes });
    for (const { criteria, points } of candidates) {
      expect(criteria.map(({ id }) => id)).toEqual(Object.keys(PARTING_WEIGHTS));
      expect(points).toBeCloseTo(
        criteria.reduce((sum, criterion) => sum + criterion.share * criterion.weight, 0),
        12,
      );
      for (const { sentence } of criteria) expect(sentence).toMatch(/^[A-Z\d].{10,}\.$/);
    }
    const bare = await advisePartings(block, { ...quick, flasks, wishes, joints: false });
    expect(bare.candidates[0].joint).toBeNull();
    expect(bare.candidates[0].criteria).toHaveLength(10);
  });

  it('its sentences are in the units asked for', () => {
    const block = s.asPattern(s.box([0, 0, 0], [254, 127, 25.4]));
    const { criteria, otherWayUp } = candidateAlong(block, [0, 0, 1], { columns: 64, show: 'imperial' });
    const words = `${criteria.map(({ sentence }) => sentence).join(' ')} ${otherWayUp.sentence}`;
    expect(words).not.toMatch(/ (mm|cm)/);
    expect(words).toMatch(/The parting line is (29\.\d|30) in long/);
  });
});

describe('flasks at hand', () => {
  const flask = (name: string, length: number, width: number, depth: number): FlaskSize => {
    return { name, length, width, copeDepth: depth, dragDepth: depth };
  };
  const block = s.asPattern(s.box([0, 0, 0], [100, 60, 40]));
  const fit = (flasks: readonly FlaskSize[], draw: Vec3 = [0, 0, 1]): PartingCandidate =>
    candidateAlong(block, draw, { columns: 48, flasks, joints: false });

  it('the smallest costs nothing, a larger one a little, none at all 1 and what is wanting', () => {
    // 100 + 2 × 40 + 50 by 60 + 2 × 40 in plan, 40 + 30 deep in the drag.
    const [small, large, shallow] = [
      flask('small', 230, 140, 70),
      flask('large', 460, 280, 140),
      flask('low', 230, 140, 56),
    ];
    expect(sharesOf(fit([small, large]))['flaskFit']).toBe(0);
    const sum = 230 * 140 * 140;
    expect(sharesOf(fit([shallow, large]))['flaskFit']).toBeCloseTo(0.1 * (1 - (230 * 140 * 112) / (8 * sum)), 9);
    expect(sharesOf(fit([shallow]))['flaskFit']).toBeCloseTo(70 / 56, 9);
    expect(fit([small]).criteria.find(({ id }) => id === 'flaskFit')!.sentence).toMatch(/^Flask small/);
    expect(fit([shallow]).criteria.find(({ id }) => id === 'flaskFit')!.sentence).toMatch(/^None of the flasks/);
  });

  it('a block stands on end where the only flask is narrow and deep', async () => {
    const narrow = flask('narrow', 195, 125, 140);
    const quick = { samples: 60, searchColumns: 24, columns: 48, candidates: 3, joints: false };
    const free = await advisePartings(block, quick);
    expect(Math.abs(free.candidates[0].direction[2])).toBeCloseTo(1, 6);
    const { candidates } = await advisePartings(block, { ...quick, flasks: [narrow] });
    expect(Math.abs(candidates[0].direction[0])).toBeCloseTo(1, 6);
    expect(sharesOf(candidates[0])['flaskFit']).toBe(0);
  });

  it.each([[[]], [[{ name: 'x', length: 0, width: 1, copeDepth: 1, dragDepth: 1 }]]])('refuses %j', (flasks) => {
    expect(() => fit(flasks)).toThrow(/flask/);
  });
});
