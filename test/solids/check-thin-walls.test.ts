import { describe, expect, it } from 'vitest';
import { checkThinWalls, openSolids } from '@oddside/solids';
import * as s from '../helpers/shapes.js';

const solids = await openSolids();
const slotted = s.asPattern(
  s.boxesUnion(
    [s.span([0, 40], [0, 30], [0, 30])],
    [s.span([18, 20], [0, 30], [10, 30]), s.span([39, 40], [0, 30], [10, 30])],
  ),
  'bracket',
);
const sheet = s.asPattern(s.box([0, 0, 0], [40, 30, 1]), 'sheet');

describe('checkThinWalls', () => {
  it('tells a wall too thin to print, with its place and what was looked at', async () => {
    const [finding, ...more] = await checkThinWalls([null, slotted, sheet]);
    expect(more).toEqual([]);
    expect(finding).toMatchObject({ code: 'thin-wall', severity: 'warning' });
    expect(finding.message).toMatch(/sheet is 1 mm thick, thinner than the 1\.2 mm .* % of its surface .* apart/);
    expect(finding.where).toHaveLength(3);
    expect(await checkThinWalls([sheet], { printWall: 0.9 })).toEqual([]);
    expect(await checkThinWalls([sheet], { printWall: 0 })).toEqual([]);
  });

  it('tells sand too thin to stand: between walls of a pattern, or of a solid of sand itself', async () => {
    const [fin] = await checkThinWalls([slotted], { standSand: 3 });
    expect(fin).toMatchObject({ code: 'sand-fin' });
    expect(fin.message).toMatch(/between walls of bracket is 2 mm/);
    const [core] = await checkThinWalls([sheet], { ofSand: true, standSand: 3 });
    expect(core).toMatchObject({ code: 'sand-fin' });
    expect(core.message).toMatch(/sand of sheet is 1 mm/);
    expect(await checkThinWalls([slotted], { ofSand: true, standSand: 3 })).toEqual([]);
  });

  it('is part of what loose pieces and cores tell', async () => {
    const plate = s.asPattern(s.boxesUnion([s.span([0, 60], [0, 40], [0, 40])], [s.span([0, 60], [19, 21], [19, 21])]));
    const made = await solids.makeCores(plate, [0, 0, 1]);
    expect(made.cores).toHaveLength(1);
    expect(made.findings.map(({ code }) => code)).toContain('sand-fin');
    const fine = await solids.makeCores(plate, [0, 0, 1], { standSand: 1 });
    expect(fine.findings.map(({ code }) => code)).not.toContain('sand-fin');
    const lug = s.asPattern(s.boxesUnion([s.span([0, 60], [0, 40], [0, 40]), s.span([60, 70], [10, 30], [10, 11])]));
    const loose = await solids.loosePieces(lug, [0, 0, 1], { joint: { kind: 'level', height: 40 }, seat: 'none' });
    expect(loose.findings.map(({ code }) => code)).toEqual(['thin-wall']);
    expect(loose.findings[0].message).toMatch(/loose piece 1 is 1 mm/);
  });

  it('keeps time, stops on abort, refuses nonsense', async () => {
    const seen: number[] = [];
    await checkThinWalls([sheet, slotted], { onProgress: (f) => seen.push(f) });
    expect(seen.at(-1)).toBe(1);
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(checkThinWalls([sheet], { signal: stop.signal })).rejects.toThrow('enough');
    await expect(checkThinWalls([sheet], { printWall: -1 })).rejects.toMatchObject({ code: 'bad-number' });
  });
});
