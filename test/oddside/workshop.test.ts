// Settings and sub-commands run in this process, with a terminal of our own and a folder of our own.
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { runCommand } from '../../packages/oddside/src/command/run-command.js';

const hare = fileURLToPath(new URL('../../examples/patterns/tiller-hare.stl', import.meta.url));
const home = process.cwd();
let folder = '';
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'oddside-workshop-'));
  process.chdir(folder);
});
afterEach(() => {
  process.chdir(home);
  rmSync(folder, { recursive: true, force: true });
});

async function run(...words: string[]): Promise<{ code: number; out: string; err: string }> {
  let out = '';
  let err = '';
  const terminal = {
    out: (text: string) => void (out += text),
    err: (text: string) => void (err += text),
    interactive: false,
  };
  const code = await runCommand(words, terminal);
  return { code, out, err };
}

const settings = (text: string): void => writeFileSync(join(folder, 'oddside-workshop.json'), text);

describe('settings', () => {
  test('are typed once, also with Windows line ends and a mark before the first brace', async () => {
    settings('\uFEFF{\r\n  "alloy": "a356",\r\n  "show": "imperial",\r\n  "yield": 0.5\r\n}\r\n');
    const { code, out } = await run('metal', '--volume', '1000');
    expect(code).toBe(0);
    expect(out).toMatch(/A356/);
    expect(out).toMatch(/together 12\.\d lb/);
  });

  test('flags win over settings', async () => {
    settings('{ "alloy": "a356" }');
    expect((await run('metal', '--volume', '100', '--alloy', 'c90500')).out).toMatch(/copper/);
  });

  test.each([
    ['{ "aloy": "a356" }', /"aloy" is no setting\. Did you mean "alloy"/],
    ['{ alloy }', /is not JSON/],
    ['[]', /settings in braces were expected/],
    ['{ "yield": 7 }', /"yield" must be a number from 0\.05 to 1/],
    ['{ "flasks": [[300, 250]] }', /"flasks" must be a list/],
    ['{ "unit": "furlong" }', /furlong/],
    ['{ "heats": [{ "meltedKg": 1 }] }', /"heats" must be a list/],
  ])('%s is refused by name', async (text, message) => {
    settings(text);
    const { code, err } = await run('metal', '--volume', '100');
    expect(code).toBe(1);
    expect(err).toMatch(message);
  });
});

describe('oddside metal', () => {
  test('8 lb of 95/5 at 61.5 % asks for 13 lb (common practice, no source)', async () => {
    const { out } = await run('metal', '--pounds', '8', '--yield', '0.615', '--alloy', 'bz95_5', '--json');
    const plan = JSON.parse(out);
    expect(plan.meltMassKg.value).toBeCloseTo(13 * 0.45359237, 1);
    expect(plan.charge.map((line: { element: string }) => line.element)).toEqual(['Cu', 'Sn']);
  });

  test('the cautions come before the numbers', async () => {
    const { out } = await run('metal', '--weight', '3');
    expect(out.indexOf('local codes')).toBeLessThan(out.indexOf('weigh in'));
  });

  test('one of three ways to say how much, and no more', async () => {
    expect((await run('metal')).code).toBe(2);
    expect((await run('metal', '--weight', '3', '--volume', '3')).err).toMatch(/exactly one/);
    expect((await run('metal', '--weight', '-3')).err).toMatch(/--weight=-3/);
  });
});

describe('oddside look', () => {
  test('says sound or not, size and volume', async () => {
    const { code, out } = await run('look', hare, '--unit', 'mm');
    expect(code).toBe(0);
    expect(out).toMatch(/3674 triangles in 1 piece, closed and consistent/);
    expect(out).not.toMatch(/assumed/);
    const [row] = JSON.parse((await run('look', hare, '--unit', 'mm', '--json')).out);
    expect(row.inspection.closed).toBe(true);
  });

  test('needs a file', async () => {
    expect(await run('look')).toMatchObject({ code: 2 });
  });
});

describe('oddside heat', () => {
  test('notes heats and learns from them, keeping the other settings', async () => {
    settings('{ "alloy": "c90500" }');
    expect((await run('heat')).out).toMatch(/No heats are noted/);
    await run('heat', '--estimated', '3', '--weighed', '3', '--melted', '6', '--day', 'first frost');
    const { out } = await run('heat', '--estimated', '1', '--weighed', '1', '--melted', '2');
    expect(out).toMatch(/2 heats, 8 kg melted/);
    expect(out).toMatch(/yield of your workshop: 50 %/);
    const kept = JSON.parse(readFileSync(join(folder, 'oddside-workshop.json'), 'utf8'));
    expect(kept.alloy).toBe('c90500');
    expect(kept.heats[0]).toMatchObject({ day: 'first frost', alloy: 'c90500' });
  });

  test('two of the three masses are not enough', async () => {
    expect((await run('heat', '--estimated', '3', '--weighed', '3')).err).toMatch(/together/);
  });
});
