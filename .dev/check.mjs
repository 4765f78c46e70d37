// Everything that is checked besides the tests: types, lint, format, and what each package would publish.
// One line a step with its time; a step that fails shows what it said.
import { spawn } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const modules = join(root, 'node_modules');
const packs = mkdtempSync(join(tmpdir(), 'oddside-packs-'));

const bins = {
  tsc: 'typescript/bin/tsc',
  oxlint: 'oxlint/bin/oxlint',
  prettier: 'prettier/bin/prettier.cjs',
  publint: 'publint/src/cli.js',
  attw: '@arethetypeswrong/cli/dist/index.js',
};

/** Runs a command and resolves with its exit code and all it said. */
function run(command, args, cwd = root) {
  return new Promise((resolve) => {
    const child = spawn(command, args, { cwd, shell: process.platform === 'win32' && command === 'npm' });
    let said = '';
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => (said += chunk));
    child.on('error', (error) => resolve({ ok: false, said: error.message }));
    child.on('close', (code) => resolve({ ok: code === 0, said: said.trim() }));
  });
}

const tool = (name, ...args) => run(process.execPath, [join(modules, bins[name]), ...args]);

/** Packs a package as npm would publish it, and looks at the result as a user's tools would. */
async function checkPack(folder) {
  const packed = await run('npm', ['pack', '--silent', '--pack-destination', packs], join(root, 'packages', folder));
  if (!packed.ok) return packed;
  const file = join(packs, packed.said.split('\n').at(-1).trim());
  const published = await tool('publint', file, '--strict');
  if (!published.ok) return published;
  return tool('attw', file, '--profile', 'esm-only', '--no-definitely-typed', '--format', 'ascii');
}

const packages = readdirSync(join(root, 'packages')).filter((folder) => {
  const manifest = join(root, 'packages', folder, 'package.json');
  return existsSync(manifest) && !JSON.parse(readFileSync(manifest, 'utf8')).private;
});

const steps = [
  ['types: packages', () => tool('tsc', '-b', 'packages')],
  ['types: tests, benches, examples', () => tool('tsc', '-p', 'test/tsconfig.json')],
  ['lint', () => tool('oxlint', '--deny-warnings')],
  ['format', () => tool('prettier', '--check', '--log-level', 'warn', '.')],
  ...packages.map((folder) => [`pack: ${folder}`, () => checkPack(folder)]),
];

let failed = 0;
const queue = [...steps];

async function work() {
  for (let step = queue.shift(); step; step = queue.shift()) {
    const [name, check] = step;
    const started = performance.now();
    const { ok, said } = await check();
    const seconds = ((performance.now() - started) / 1000).toFixed(1);
    process.stdout.write(`${ok ? 'ok    ' : 'FAILED'}  ${seconds.padStart(5)} s  ${name}\n`);
    if (!ok) {
      failed++;
      process.stdout.write(`${said.replace(/^/gm, '    ')}\n`);
    }
  }
}

try {
  await Promise.all(Array.from({ length: Math.min(2, availableParallelism()) }, work));
} finally {
  rmSync(packs, { recursive: true, force: true });
}
process.stdout.write(`${steps.length - failed} passed, ${failed} failed\n`);
process.exitCode = failed > 0 ? 1 : 0;
