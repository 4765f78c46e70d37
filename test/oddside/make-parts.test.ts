import { isOddsideError } from '@oddside/core';
import { inspectPattern, measurePattern, readPattern } from '@oddside/pattern';
import { makeParts, planCasting } from 'oddside';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { runCommand } from '../../packages/oddside/src/command/run-command.js';
import { asPattern, sphere } from '../helpers/shapes.js';

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
      expect(await runCommand(['make', ball, '--joint', 'round'], terminal)).toBe(2);
      expect(err).toMatch(/flat or shaped/);
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});
