// Makes a fresh clone ready: installs what the lockfile names and builds what changed. A second run does neither.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const stamp = join(root, 'node_modules', '.oddside-ready');

/** Ends with one clear line, not a stack. */
function stop(line) {
  process.stderr.write(`${line}\n`);
  process.exitCode = 1;
}

function run(what, command, args) {
  const result = spawnSync(command, args, { cwd: root, encoding: 'utf8', shell: process.platform === 'win32' });
  if (result.status === 0) return true;
  const said = `${result.stdout ?? ''}${result.stderr ?? ''}`.trim().split('\n').slice(-12).join('\n');
  if (said) process.stderr.write(`${said}\n`);
  stop(`${what} failed (${result.error?.message ?? `exit code ${result.status}`}).`);
  return false;
}

/** Everything that decides what is installed. */
function fingerprint() {
  const hash = createHash('sha256').update(process.version);
  const manifests = readdirSync(join(root, 'packages'), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => join(root, 'packages', entry.name, 'package.json'))
    .filter((file) => existsSync(file))
    .sort();
  for (const file of [
    join(root, 'package.json'),
    join(root, 'pnpm-lock.yaml'),
    join(root, 'pnpm-workspace.yaml'),
    ...manifests,
  ]) {
    hash.update(readFileSync(file));
  }
  return hash.digest('hex');
}

function install() {
  const wanted = fingerprint();
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return true;
  const { packageManager } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'));
  if (!run('Installing the packages', 'npx', ['-y', packageManager, 'install', '--frozen-lockfile'])) return false;
  mkdirSync(dirname(stamp), { recursive: true });
  writeFileSync(stamp, wanted);
  return true;
}

/** Removes what was built from sources that are gone: the compiler leaves it, and it would be published. */
function sweep() {
  for (const name of readdirSync(join(root, 'packages'))) {
    const [source, built] = [join(root, 'packages', name, 'src'), join(root, 'packages', name, 'dist')];
    if (!existsSync(source) || !existsSync(built)) continue;
    for (const file of readdirSync(built, { recursive: true, encoding: 'utf8' })) {
      const from = /^(.*?)(\.d\.ts|\.js)(\.map)?$/.exec(file);
      if (from && !existsSync(join(source, `${from[1]}.ts`))) rmSync(join(built, file));
    }
  }
}

const major = Number(process.versions.node.split('.')[0]);
if (major < 20) {
  stop(`Node 20 or later is needed; this is ${process.version}.`);
} else if (install()) {
  sweep();
  run('Building', process.execPath, [join(root, 'node_modules', 'typescript', 'bin', 'tsc'), '-b', 'packages']);
}
