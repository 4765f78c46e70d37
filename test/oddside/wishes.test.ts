// Wishes and limits in a whole plan, and as a founder types them.
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';
import { encodePattern } from '@oddside/pattern';
import { angleBetweenDeg, type Vec3 } from '@oddside/core';
import { planCasting, type CastingJob, type PlanCastingOptions } from 'oddside';
import { asPattern, box, keepTriangles } from '../helpers/shapes.js';

const command = fileURLToPath(new URL('../../packages/oddside/bin/oddside.mjs', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'oddside wishes '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const block = asPattern(box([0, 0, 0], [20, 30, 50]));
writeFileSync(join(folder, 'block.stl'), encodePattern(block, 'stl'));

const plan = (options: Partial<PlanCastingOptions>): Promise<CastingJob> =>
  planCasting(block, { alloy: 'bz95_5', samples: 60, columns: 64, picturePx: 0, ...options });

describe('in a plan', () => {
  test('points are those of the mesh, also where the pattern is made larger', async () => {
    const job = await plan({ wishes: { faceDown: { point: [10, 15, 50] } }, castingLength: 400 });
    expect(angleBetweenDeg(job.mould.direction, [0, 0, -1])).toBeLessThan(1e-6);
    // 400 mm and the contraction for it.
    expect(job.mould.dragDepth).toBeGreaterThan(400);
  });

  test('limits are of the pattern to ram, and where none is kept the plan stops and says by how much', async () => {
    const job = await plan({ limits: { dragDepth: 12 } });
    expect(job.mould.dragDepth).toBeCloseTo(12, 6);
    await expect(plan({ limits: { dragDepth: 12, copeDepth: 4 } })).rejects.toMatchObject({
      code: 'infeasible',
      message: expect.stringMatching(/over the limit of 12 mm/),
    });
  });

  test('flasks at hand are a criterion of every way; a draw of the caller’s own has it too', async () => {
    const flasks = [{ name: 'the flask', length: 300, width: 300, copeDepth: 150, dragDepth: 150 }];
    const job = await plan({ flasks, direction: [0, 0, 1] });
    for (const { criteria } of [...job.advice.candidates, job.mould.candidate]) {
      expect(criteria.find(({ id }) => id === 'flaskFit')?.share).toBe(0);
    }
    expect(job.mould.candidate.rank).toBe(0);
  });

  test('a face picked by triangles of a scan that had to be mended is refused', async () => {
    const open = asPattern(keepTriangles(box([0, 0, 0], [20, 30, 50]), (t) => t > 0));
    const wishes = { machined: [{ triangles: [2] }] };
    await expect(
      planCasting(open, { alloy: 'bz95_5', samples: 60, columns: 64, picturePx: 0, wishes }),
    ).rejects.toThrow(/numbered anew/);
  });
});

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

function run(words: readonly string[]): Promise<Ran> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [command, ...words], { cwd: folder });
    let [out, err] = ['', ''];
    child.stdout.on('data', (data) => (out += String(data)));
    child.stderr.on('data', (data) => (err += String(data)));
    child.on('close', (code) => resolve({ code, out, err }));
  });
}
const quick = ['plan', 'block.stl', '--columns', '64', '--unit', 'mm', '--mesh-is', 'pattern', '--json'];
const drawOf = ({ out }: Ran): Vec3 => JSON.parse(out).mould.direction;

describe('on the command line', () => {
  test('this face down, this axis upright, these machined and not marked', async () => {
    expect(angleBetweenDeg(drawOf(await run([...quick, '--down', '10,15,50'])), [0, 0, -1])).toBeLessThan(1e-3);
    const upright = drawOf(await run([...quick, '--upright', '0,1,0', '--unmarked', '0,15,25/20,15,25']));
    expect(Math.abs(upright[1])).toBeCloseTo(1, 6);
    expect(angleBetweenDeg(drawOf(await run([...quick, '--machined=10,15,0'])), [0, 0, 1])).toBeLessThan(1e-3);
  });

  test('a limit that is kept, and one that cannot be: exit code 1 and one line', async () => {
    const kept = JSON.parse((await run([...quick, '--most-drag-depth', '12'])).out);
    expect(kept.mould.dragDepth).toBeCloseTo(12, 5);
    const ran = await run([...quick, '--most-drag-depth', '12', '--most-cope-depth', '4']);
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.err).toMatch(/^oddside: No way to lay the pattern was found within the limits\. .*4 mm over/);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
  });

  test.each([
    ['--down', '1,2', /--down needs three numbers/],
    ['--unmarked', '1,2,3/4', /--unmarked needs three numbers.*"4" came/],
    ['--upright', '0,0,0', /axis upright must be three finite numbers that are not all zero/],
    ['--machined', '900,0,0', /off the surface/],
    ['--most-cope-depth', 'deep', /--most-cope-depth needs a number/],
    ['--most-cope-depth=-3', '', /limit copeDepth.*at least 0/],
  ])('%s %s is refused with exit code 2', async (flag, value, message) => {
    const ran = await run([...quick, flag, ...(value ? [value] : [])]);
    expect(ran.err).toMatch(message);
    expect(ran).toMatchObject({ code: 2, out: '' });
  });

  test('they are in the help of plan and of make', async () => {
    for (const name of ['plan', 'make']) {
      const { out } = await run([name, '--help']);
      for (const flag of ['down', 'upright', 'unmarked', 'machined', 'most-cope-depth', 'most-drag-depth']) {
        expect(out).toContain(`--${flag} `);
      }
    }
  });
});
