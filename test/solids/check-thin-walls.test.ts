import { describe, expect, it } from 'vitest';
import type { Finding } from '@oddside/core';
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
const fork = s.asPattern(
  s.boxesUnion(
    [s.span([0, 40], [0, 30], [0, 30])],
    [s.span([18, 20], [-1, 31], [10, 31]), s.span([21, 40], [-1, 31], [10, 31])],
  ),
  'fork',
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

  it('is part of what every maker tells, by name', async () => {
    const joint = { kind: 'level', height: 5 } as const;
    const Z = [0, 0, 1] as const;
    const flask = { length: 90, width: 80, copeHeight: 60, dragHeight: 40 };
    const told = ({ findings }: { findings: readonly Finding[] }): string[] =>
      findings.filter(({ code }) => code === 'thin-wall' || code === 'sand-fin').map(({ message }) => message);
    // The slot of 2 mm and the wall of 1 mm stand over the joint.
    const two = [/^A wall of .* is 1 mm/, /^Sand between walls of .* is 2 mm/].map((part) =>
      expect.stringMatching(part),
    );
    const filled = await solids.fillBackDraft(fork, Z);
    expect(told(filled)).toEqual(two);
    expect(told(await solids.splitPattern(fork, Z, { joint, dowels: 0 }))).toEqual(two);
    expect(told(await solids.addDraft(fork, Z, { joint, draftDeg: 0.1 }))).toHaveLength(2);
    expect(told(await solids.scalePattern(fork))).toEqual(two);
    expect(told(await solids.makeSolid(fork))).toEqual(two);
    expect(told(await solids.makeSolid(fork, { printWall: 0, standSand: 1 }))).toEqual([]);
    const plate = { flask: { length: 60, width: 50 } };
    expect(told(await solids.splitPattern(fork, Z, { joint, plate }))).toEqual(two);
    // In the nest the slot is a wall of board: 2 mm less the clearance on both sides, 0.3 to 0.51 each.
    const [board, ...more] = told(await solids.followBoard(fork, Z, { joint, printWall: 2 }));
    expect(more).toEqual([]);
    expect(board).toMatch(/follow board is (0\.9[89]|1)[\d.]* mm/);
    const [sand, ...rest] = told(await solids.mouldHalves(fork, Z, { joint, flask }));
    expect(rest).toEqual([]);
    expect(sand).toMatch(/sand of .* cope is 2 mm/);
    const off = { printWall: 0, standSand: 0 };
    expect(told(await solids.splitPattern(fork, Z, { joint, ...off }))).toEqual([]);
    expect(told(await solids.fillBackDraft(fork, Z, off))).toEqual([]);
    expect(told(await solids.addDraft(fork, Z, { joint, ...off }))).toEqual([]);
    expect(told(await solids.scalePattern(fork, off))).toEqual([]);
    expect(told(await solids.followBoard(fork, Z, { joint, printWall: 0 }))).toEqual([]);
    expect(told(await solids.mouldHalves(fork, Z, { joint, flask, standSand: 0 }))).toEqual([]);
  });

  it('does not take holes for dowels for sand, and looks at the pieces where a bed cuts', async () => {
    const joint = { kind: 'level', height: 10 } as const;
    const bar = s.asPattern(s.box([0, 0, 0], [120, 30, 20]), 'bar');
    const split = await solids.splitPattern(bar, [0, 0, 1], { joint, dowelDiameter: 2 });
    expect(split.dowels).toHaveLength(2);
    expect(split.findings).toEqual([]);
    const bed = { length: 100, width: 100, height: 100 };
    const cut = await solids.splitPattern(bar, [0, 0, 1], { joint, dowels: 0, bed, printWall: 12 });
    expect(cut.findings.map(({ message }) => message)).toEqual(
      cut.pieces.map(({ name }) => expect.stringContaining(name)),
    );
  });

  it('refuses nonsense before any work', async () => {
    const joint = { kind: 'level', height: 5 } as const;
    const progress: number[] = [];
    const onProgress = (f: number): void => void progress.push(f);
    for (const wrong of [{ printWall: -1 }, { printWall: NaN }]) {
      await expect(solids.splitPattern(fork, [0, 0, 1], { joint, onProgress, ...wrong })).rejects.toMatchObject({
        code: 'bad-number',
      });
    }
    expect(progress).toEqual([]);
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
