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

function run(command, args) {
  const { status, stdout, stderr, error } = spawnSync(command, args, {
    cwd: root,
    encoding: 'utf8',
    shell: process.platform === 'win32' && command === 'npx',
  });
  const said = `${stdout ?? ''}${stderr ?? ''}`.trim();
  return { ok: status === 0, said: said || (error?.message ?? `exit code ${status}`) };
}

/** Why an installation failed, in one line; what the tools said in full goes into a file. */
function whyNot(said) {
  mkdirSync(join(root, 'node_modules'), { recursive: true });
  writeFileSync(join(root, 'node_modules', '.oddside-install.log'), `${said}\n`);
  const network = /\b(ECONNREFUSED|ECONNRESET|ENOTFOUND|EAI_AGAIN|ETIMEDOUT)\b/.exec(said);
  const reason = network
    ? `the package registry cannot be reached (${network[1]}); connect to the network and try again`
    : (/^.*\b(ERR_PNPM_\w+|E[A-Z]*\d{3}|ENOSPC|EACCES|EPERM)\b.*$/m.exec(said)?.[0].trim() ?? said.split('\n').at(-1));
  return `${reason}. All of it: node_modules/.oddside-install.log`;
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
  const { ok, said } = run('npx', ['-y', packageManager, 'install', '--frozen-lockfile']);
  if (!ok) {
    stop(`Installing the packages failed: ${whyNot(said)}`);
    return false;
  }
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
  const { ok, said } = run(process.execPath, [
    join(root, 'node_modules', 'typescript', 'bin', 'tsc'),
    '-b',
    'packages',
  ]);
  if (!ok) stop(`${said}\nBuilding failed: see the lines above.`);
}
