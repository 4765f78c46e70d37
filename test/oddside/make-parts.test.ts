import { isOddsideError } from '@oddside/core';
import { inspectPattern, measurePattern, readPattern, type Pattern } from '@oddside/pattern';
import { makeParts, planCasting } from 'oddside';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { runCommand } from '../../packages/oddside/src/command/run-command.js';
import { asPattern, scale, sphere, twoPocketCube } from '../helpers/shapes.js';

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

  test('a shaped joint that does not exist is refused by name', async () => {
    const hare = fileURLToPath(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url));
    const job = await planCasting(hare, { ...quick, unit: 'mm' });
    expect(job.surface.feasible).toBe(false);
    const refused = await makeParts(job, { joint: 'shaped' }).catch((error: unknown) => error);
    expect(isOddsideError(refused) && refused.code).toBe('infeasible');
  });
});

describe('oddside make', () => {
  test('writes each part as STL and 3MF, which read back without a hole', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'oddside-make-'));
    try {
      const ball = join(folder, 'ball.stl');
      const { encodePattern } = await import('@oddside/pattern');
      const { writeFileSync } = await import('node:fs');
      writeFileSync(ball, encodePattern(asPattern(sphere(30, 2)), 'stl'));
      let out = '';
      let err = '';
      const terminal = {
        out: (text: string) => void (out += text),
        err: (text: string) => void (err += text),
        interactive: false,
      };
      const parts = join(folder, 'parts');
      expect(await runCommand(['make', ball, '--unit', 'mm', '-o', parts], terminal), err).toBe(0);
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
      const flags = ['--unit', 'mm', '--cores', '--no-board', '--no-halves', '--print-wall', '50', '-o', more];
      expect(await runCommand(['make', cube, ...flags], terminal), err).toBe(0);
      expect(readdirSync(more)).toEqual(
        expect.arrayContaining(['core-1.stl', 'core-1-box-under.3mf', 'main-pattern.stl']),
      );
      expect(out).toMatch(/warning: A wall of .* box, upper half .* thinner than the 50 mm/);
      expect(await runCommand(['make', ball, '--joint', 'round'], terminal)).toBe(2);
      expect(err).toMatch(/flat or shaped/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
