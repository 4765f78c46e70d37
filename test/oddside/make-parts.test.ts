import { isOddsideError } from '@oddside/core';
import { encodePattern, inspectPattern, measurePattern, readPattern, type Pattern } from '@oddside/pattern';
import { makeParts, planCasting } from 'oddside';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import type { Terminal } from '../../packages/oddside/src/command/terminal.js';
import { runCommand } from '../../packages/oddside/src/command/run-command.js';
import { asPattern, boundsOf, box, scale, sphere, twoPocketCube } from '../helpers/shapes.js';

const quick = { samples: 60, columns: 64, picturePx: 0, alloy: 'bz95_5' } as const;

describe('making the parts of a job', () => {
  test('the halves of a ball are closed, and with the dowel holes they are the ball again', async () => {
    const job = await planCasting(asPattern(sphere(30, 3), 'ball'), quick);
    const { parts } = await makeParts(job, { board: false });
    const named = new Map(parts.map(({ name, pattern }) => [name, pattern]));
    for (const pattern of named.values()) {
      expect(inspectPattern(pattern)).toMatchObject({ openEdges: 0, flippedEdges: 0, balanced: true });
    }
    const volume = (name: string): number => measurePattern(named.get(name)!).volumeMm3;
    const whole = measurePattern(job.laid).volumeMm3;
    const halves = volume('cope-half') + volume('drag-half');
    expect(halves).toBeLessThan(whole);
    expect(halves).toBeGreaterThan(0.9 * whole);
  });

  test('in threads the same parts are made, and the same is said of them', () => {
    const built = new URL('../../packages/oddside/dist/index.js', import.meta.url).href;
    const folder = mkdtempSync(join(tmpdir(), 'oddside-threads-'));
    const file = join(folder, 'ball.stl');
    writeFileSync(file, encodePattern(asPattern(sphere(30, 3)), 'stl'));
    // Threads run the built packages, all of them: a worker's file must be plain JavaScript.
    const script = `
      import { deepStrictEqual } from 'node:assert';
      import { makeParts, planCasting } from ${JSON.stringify(built)};
      const job = await planCasting(${JSON.stringify(file)}, { ...${JSON.stringify(quick)}, unit: 'mm' });
      const options = { draftDeg: 1, bed: { length: 50, width: 50, height: 50 } };
      const [alone, helped] = [await makeParts(job, options), await makeParts(job, { ...options, threads: 2 })];
      deepStrictEqual(helped, alone);
      console.log(helped.parts.map(({ name }) => name).join(' '));`;
    const { status, stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
      encoding: 'utf8',
      timeout: 55_000,
    });
    rmSync(folder, { recursive: true, force: true });
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' });
    expect(stdout.trim().split(' ')).toEqual(expect.arrayContaining(['cope-half', 'follow-board', 'half-piece-1']));
  });

  describe('a pattern that never draws: a cube with pockets in two of its sides', () => {
    const pocketed = asPattern(scale(twoPocketCube(), 10), 'lamp bracket');
    const sound = (pattern: Pattern): number => {
      expect(inspectPattern(pattern)).toMatchObject({ openEdges: 0, flippedEdges: 0, balanced: true });
      return measurePattern(pattern).volumeMm3;
    };

    test('gets a core with its box, and halves with its prints', async () => {
      const job = await planCasting(pocketed, quick);
      const { parts, findings } = await makeParts(job, { board: false, cores: true });
      const volumes = new Map(parts.map(({ name, pattern }) => [name, sound(pattern)]));
      for (const name of ['core-1', 'core-1-box-over', 'core-1-box-under', 'core-1-box-dowel-1', 'drag-half']) {
        expect([...volumes.keys()]).toContain(name);
      }
      // The pocket that lies across the draw is filled, and a print as good as balances it stands before it.
      const whole = measurePattern(job.laid).volumeMm3;
      const halves = (volumes.get('cope-half') ?? 0) + (volumes.get('drag-half') ?? 0);
      expect(volumes.get('core-1')).toBeGreaterThan(1.8 * 2000);
      expect(halves).toBeGreaterThan(whole + 1.6 * 2000);
      expect(findings.map(({ code }) => code)).not.toContain('torn-sand');
    });

    test('or a loose piece with its pins, and halves without it', async () => {
      const job = await planCasting(pocketed, quick);
      const { parts, findings } = await makeParts(job, { board: false, halves: false, loosePieces: true });
      const volumes = new Map(parts.map(({ name, pattern }) => [name, sound(pattern)]));
      expect([...volumes.keys()]).toContain('loose-piece-1');
      expect([...volumes.keys()]).toContain('main-pattern');
      const whole = measurePattern(job.laid).volumeMm3;
      const pieces = [...volumes].filter(([name]) => /^loose-piece-\d+$/.test(name)).map(([, volume]) => volume);
      const sum = volumes.get('main-pattern')! + pieces.reduce((total, volume) => total + volume, 0);
      expect(sum).toBeLessThanOrEqual(whole);
      expect(sum).toBeGreaterThan(0.99 * whole);
      expect(findings.map(({ code }) => code)).not.toContain('torn-sand');
    });
  });

  test('gets draft on every side first, and both halves on a plate for the flask', async () => {
    const job = await planCasting(asPattern(box([-30, -20, -10], [30, 20, 10]), 'anchor pad'), quick);
    const whole = measurePattern(job.laid).volumeMm3;
    const plate = { flask: { length: 120, width: 90 }, thickness: 10 };
    const { parts, findings } = await makeParts(job, { plate, draftDeg: 4 });
    // No board, no loose halves, no dowels.
    expect(parts.map(({ name }) => name)).toEqual(['match-plate']);
    const { min, max } = boundsOf(parts[0].pattern);
    const size = [0, 1, 2].map((k) => max[k] - min[k]);
    expect(size[0]).toBeCloseTo(120 + 2 * 25, 3);
    expect(size[1]).toBeCloseTo(90 + 2 * 25, 3);
    const laid = boundsOf(job.laid);
    const [length, width, height] = [0, 1, 2].map((k) => laid.max[k] - laid.min[k]);
    // The joint that the plan chose lies at height 0; a taper grows from the box both ways (Steiner).
    const t = Math.tan((4 * Math.PI) / 180);
    const grown = [laid.max[2], -laid.min[2]].reduce(
      (sum, h) => sum + (length + width) * t * h ** 2 + (Math.PI * t * t * h ** 3) / 3,
      0,
    );
    const exact = 170 * 140 * 10 + whole + grown;
    expect(size[2]).toBeCloseTo(height + 10, 3);
    const volume = measurePattern(parts[0].pattern).volumeMm3;
    expect(Math.abs(volume - exact)).toBeLessThan(0.0101 * grown + 1);
    expect(findings.map(({ code }) => code)).toContain('draft-added');
    const board = await makeParts(job, { plate, board: true });
    expect(board.parts.map(({ name }) => name)).toEqual(['match-plate', 'follow-board']);
    const bare = await makeParts(job, { draftDeg: 4, halves: false, board: false });
    expect(bare.parts.map(({ name }) => name)).toEqual(['main-pattern']);
    for (const wrong of [
      { draftDeg: 2, loosePieces: true },
      { plate, halves: false },
    ]) {
      await expect(makeParts(job, wrong)).rejects.toMatchObject({ code: 'bad-option' });
    }
    await expect(makeParts(job, { draftDeg: 0 })).rejects.toMatchObject({ code: 'bad-number' });
  });

  test('nothing is told twice, whatever is made', async () => {
    const job = await planCasting(asPattern(scale(twoPocketCube(), 10), 'lamp bracket'), quick);
    const { findings } = await makeParts(job, { cores: true, loosePieces: true, printWall: 12, standSand: 12 });
    const told = findings.map(({ message }) => message);
    expect(told.some((message) => /thinner than/.test(message))).toBe(true);
    expect(told).toEqual([...new Set(told)]);
  });

  test('a shaped joint that does not exist is refused by name', async () => {
    const hare = fileURLToPath(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url));
    const job = await planCasting(hare, { ...quick, unit: 'mm' });
    expect(job.surface.feasible).toBe(false);
    const refused = await makeParts(job, { joint: 'shaped' }).catch((error: unknown) => error);
    expect(isOddsideError(refused) && refused.code).toBe('infeasible');
  });
});

/** A terminal that keeps what is said. */
function keepingTerminal(): { terminal: Terminal; said: { out: string; err: string } } {
  const said = { out: '', err: '' };
  const terminal = {
    out: (text: string) => void (said.out += text),
    err: (text: string) => void (said.err += text),
    interactive: false,
  };
  return { terminal, said };
}

describe('oddside make', () => {
  test('writes each part as STL and 3MF, which read back without a hole', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'oddside-make-'));
    try {
      const ball = join(folder, 'ball.stl');
      writeFileSync(ball, encodePattern(asPattern(sphere(30, 2)), 'stl'));
      const { terminal, said } = keepingTerminal();
      const parts = join(folder, 'parts');
      expect(await runCommand(['make', ball, '--unit', 'mm', '-o', parts], terminal), said.err).toBe(0);
      const files = readdirSync(parts);
      for (const name of ['cope-half', 'drag-half', 'follow-board']) {
        expect(files).toContain(`${name}.stl`);
        const read = await readPattern(join(parts, `${name}.3mf`));
        expect(read.unit).toEqual({ name: 'mm', from: 'file' });
        // Where dowel hole and joint meet, bodies may touch along an edge once equal corners are joined.
        expect(inspectPattern(read)).toMatchObject({ openEdges: 0, flippedEdges: 0, balanced: true });
      }
      const cube = join(folder, 'bracket.stl');
      writeFileSync(cube, encodePattern(asPattern(scale(twoPocketCube(), 10)), 'stl'));
      const more = join(folder, 'more');
      const flags = [
        '--unit',
        'mm',
        '--cores',
        '--no-board',
        '--no-halves',
        '--print-wall',
        '50',
        '--stand-sand',
        '40',
        '-o',
        more,
      ];
      expect(await runCommand(['make', cube, ...flags], terminal), said.err).toBe(0);
      expect(readdirSync(more)).toEqual(
        expect.arrayContaining(['core-1.stl', 'core-1-box-under.3mf', 'main-pattern.stl']),
      );
      expect(said.out).toMatch(/warning: A wall of .* box, upper half .* thinner than the 50 mm/);
      expect(said.out).toMatch(/warning: The sand of .* core 1 .* 40 mm is asked for/);
      expect(await runCommand(['make', ball, '--joint', 'round'], terminal)).toBe(2);
      expect(said.err).toMatch(/flat or shaped/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  test('mounts the halves on a plate and gives draft, and says at once what is wrong with either', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'oddside-plate-'));
    try {
      const ball = join(folder, 'ball.stl');
      writeFileSync(ball, encodePattern(asPattern(sphere(30, 2)), 'stl'));
      const { terminal, said } = keepingTerminal();
      const plated = join(folder, 'plated');
      const plate = ['--plate', '120,100', '--plate-rim', '30', '--plate-thickness', '8', '--guides', '10'];
      const flags = ['--unit', 'mm', '--draft', '3', ...plate, '--guides-apart', '150', '-o', plated];
      expect(await runCommand(['make', ball, ...flags], terminal), said.err).toBe(0);
      expect(readdirSync(plated).sort()).toEqual(['match-plate.3mf', 'match-plate.stl']);
      const { min, max } = boundsOf(await readPattern(join(plated, 'match-plate.stl'), { unit: 'mm' }));
      expect([max[0] - min[0], max[1] - min[1]].map(Math.round)).toEqual([180, 160]);
      expect(said.out).toMatch(/metal was added for 3° of draft/);
      for (const [wrong, message] of [
        [['--plate', '120'], /--plate needs two lengths.*"120" came/],
        [['--plate-rim', '20'], /--plate-rim belongs to a plate/],
        [['--guides', '8'], /--guides belongs to a plate/],
        [['--plate', '120,100', '--guides-apart', '150'], /needs --guides/],
        [['--plate', '120,100', '--plate-rim', '5', '--guides', '8'], /Widen plate\.rim/],
        [['--draft', '25'], /draftDeg .*at most 20/],
        [['--draft', 'some'], /--draft needs a number/],
        [['--draft', '2', '--loose-pieces'], /Draft and loose pieces/],
        [['--plate', '120,100', '--no-halves'], /without the halves/],
      ] as const) {
        said.err = '';
        expect(await runCommand(['make', ball, '--unit', 'mm', ...wrong], terminal), wrong.join(' ')).toBe(2);
        expect(said.err).toMatch(message);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
