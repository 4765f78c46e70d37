// The command as a process: what a founder types, and what comes back.
import { spawn } from 'node:child_process';
import { chmodSync, copyFileSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, test } from 'vitest';

const command = fileURLToPath(new URL('../../packages/oddside/bin/oddside.mjs', import.meta.url));
const hare = fileURLToPath(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'oddside command ä '));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ran {
  readonly code: number | null;
  readonly out: string;
  readonly err: string;
}

function run(words: readonly string[], interruptAfterMs?: number): Promise<Ran> {
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [command, ...words], { cwd: folder });
    let out = '';
    let err = '';
    child.stdout.on('data', (data) => (out += String(data)));
    child.stderr.on('data', (data) => (err += String(data)));
    if (interruptAfterMs !== undefined) setTimeout(() => child.kill('SIGINT'), interruptAfterMs);
    child.on('close', (code) => resolve({ code, out, err }));
  });
}

/** Quantities that are said in metric units alone, with what stands round them. */
const metricIn = (text: string): string[] =>
  [
    ...text
      .replace(/\s+/g, ' ')
      .matchAll(/.{0,40}\d (?:mm[²³]?|cm[²³]?|kg|g|°C)(?![\p{L}\d/²³])(?! \(-?[\d.]).{0,20}/gu),
  ].map(String);

const quick = ['--columns', '64', '--unit', 'mm'];

describe('oddside plan', () => {
  test('writes three files and says where, also with blanks and accents in the path', async () => {
    const file = join(folder, 'lièvre du gouvernail.stl');
    copyFileSync(hare, file);
    const { code, out, err } = await run(['plan', file, ...quick]);
    expect(err).toBe('');
    expect(code).toBe(0);
    expect(out).toMatch(/mould card {2}.*mould-card\.html/);
    const made = join(folder, 'lièvre du gouvernail-mould');
    const card = readFileSync(join(made, 'mould-card.html'), 'utf8');
    expect(card).toMatch(/^<!doctype html>/);
    expect(card).toContain('lièvre du gouvernail');
    expect(readFileSync(join(made, 'laid-pattern.stl')).length).toBe(84 + 50 * 3674);
    expect(JSON.parse(readFileSync(join(made, 'job.json'), 'utf8'))).toMatchObject({ schemaVersion: 1 });
  });

  test('--json prints the job and nothing else, and writes nothing', async () => {
    const { code, out, err } = await run(['plan', hare, ...quick, '--json', '--name', 'only json']);
    expect(code).toBe(0);
    expect(err).toBe('');
    expect(JSON.parse(out).metal.alloy).toBe('bz95_5');
    expect(existsSync(join(folder, 'only json-mould'))).toBe(false);
  });

  test('--quiet prints nothing', async () => {
    const { code, out, err } = await run(['plan', hare, ...quick, '-q', '-o', join(folder, 'quiet')]);
    expect({ code, out, err }).toEqual({ code: 0, out: '', err: '' });
    expect(existsSync(join(folder, 'quiet', 'mould-card.html'))).toBe(true);
  });

  test('a draw of your own, and imperial units', async () => {
    const { code, out } = await run([
      'plan',
      hare,
      ...quick,
      '--cope=-1,0,0',
      '--show',
      'imperial',
      '-o',
      join(folder, 'own'),
    ]);
    expect(code).toBe(0);
    expect(out).toMatch(/−x of the file up/);
    expect(out).toMatch(/ in³/);
    // Cures, findings and cautions too: this way up sand is held, and the feeder, joint and cope all have something to say.
    expect(out).toMatch(/cure: .* in³/);
    expect(out).toMatch(/on the cope, or clamp it/);
    expect(metricIn(out)).toEqual([]);
    const card = readFileSync(join(folder, 'own', 'mould-card.html'), 'utf8');
    expect(metricIn(card.replace(/<(style|script)[^]*?<\/\1>|<[^>]+>/g, ' '))).toEqual([]);
  });

  test('what is found, cured and cautioned is said in both units where both are asked for', async () => {
    const made = join(folder, 'both');
    const { code, out } = await run(['plan', hare, ...quick, '--cope=-1,0,0', '--show', 'both', '-o', made]);
    expect(code).toBe(0);
    expect(out).toMatch(/cm³\s+\([\d.]+\s+in³\)/);
    expect(metricIn(out)).toEqual([]);
    const card = readFileSync(join(made, 'mould-card.html'), 'utf8');
    expect(metricIn(card.replace(/<(style|script)[^]*?<\/\1>|<[^>]+>/g, ' '))).toEqual([]);
  });

  test('without a unit mm are assumed, and a finding says so', async () => {
    const { code, out } = await run(['plan', hare, '--columns', '64', '-o', join(folder, 'unit')]);
    expect(code).toBe(0);
    expect(out).toMatch(/warning|note/);
    expect(out).toMatch(/assumed/);
  });
});

describe('what is wrong is said in one line', () => {
  const cases: readonly (readonly [string, readonly string[], number, RegExp])[] = [
    ['an unknown flag', ['plan', hare, '--aloy', 'x'], 2, /--aloy is not a flag here\. Did you mean --alloy\?/],
    ['a flag without its value', ['plan', hare, '--alloy'], 2, /--alloy needs ALLOY after it, but nothing came/],
    ['a word where a number belongs', ['plan', hare, '--columns', 'many'], 2, /--columns needs a number.*"many" came/],
    ['a number out of range', ['plan', hare, '--columns', '1'], 2, /columns must be a whole number/],
    ['a switch with a value', ['plan', hare, '--quiet=yes'], 2, /--quiet is a switch/],
    ['an unknown alloy', ['plan', hare, '--alloy', 'gunmetall'], 2, /c90500/],
    ['an unknown unit', ['plan', hare, '--unit', 'furlong'], 2, /length unit was expected.*"furlong"/],
    ['a bad draw', ['plan', hare, '--cope', '1,2'], 2, /three numbers/],
    ['no file', ['plan'], 2, /takes one file/],
    ['a file that is not there', ['plan', 'nowhere.stl'], 1, /nowhere\.stl/],
    ['an unknown sub-command', ['pln'], 2, /Did you mean "plan"/],
  ];
  test.each(cases)('%s', async (_, words, code, message) => {
    const ran = await run(words);
    expect(ran.err).toMatch(message);
    expect(ran.err.trim().split('\n')).toHaveLength(1);
    expect(ran.err).not.toMatch(/at .*\.js:\d+/);
    expect(ran).toMatchObject({ code, out: '' });
  });

  test('an empty file, a truncated one, and a folder that cannot be written', async () => {
    const empty = join(folder, 'empty.stl');
    writeFileSync(empty, '');
    expect(await run(['plan', empty, ...quick])).toMatchObject({ code: 1, out: '' });
    const half = join(folder, 'half.stl');
    writeFileSync(half, readFileSync(hare).subarray(0, 60));
    expect(await run(['plan', half, ...quick])).toMatchObject({ code: 1, out: '' });
    const taken = join(folder, 'taken');
    writeFileSync(taken, 'a file where a folder should go');
    chmodSync(taken, 0o444);
    const { code, err } = await run(['plan', hare, ...quick, '-o', taken]);
    expect(code).toBe(1);
    expect(err).toMatch(/could not be written into .*Choose a folder/);
  });

  test('an interrupt stops it cleanly', async () => {
    const { code, err } = await run(['plan', hare, '--columns', '6000', '-o', join(folder, 'stopped')], 2500);
    // It may have finished first on a fast machine; what must not happen is a stack or a half-written folder.
    expect([0, 130]).toContain(code);
    if (code === 130) {
      expect(err).toMatch(/stopped; nothing was written/);
      expect(existsSync(join(folder, 'stopped'))).toBe(false);
    }
  });
});

describe('the rest', () => {
  test('help names every sub-command and flag', async () => {
    const { code, out } = await run(['--help']);
    expect(code).toBe(0);
    expect(out).toMatch(/oddside plan/);
    expect(out).toMatch(/Exit codes/);
    expect((await run(['plan', '--help'])).out).toMatch(/--casting-length MM/);
  });

  test('alloys are listed, one a line, and as JSON', async () => {
    const { out } = await run(['alloys']);
    expect(out).toMatch(/^bz95_5 .*8\.86 g\/cm³/m);
    const rows = JSON.parse((await run(['alloys', '--json'])).out);
    expect(rows).toHaveLength(out.trim().split('\n').length);
  });
});
