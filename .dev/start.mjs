// The main job on the scan that comes with the project: the hare for the tiller. One clear line when something fails.
import { spawnSync } from 'node:child_process';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const steps = [
  ['.dev/ready.mjs'],
  [
    'packages/oddside/bin/oddside.mjs',
    'plan',
    'examples/patterns/tiller-hare.stl',
    '--unit',
    'mm',
    '--alloy',
    'bz95_5',
    '--name',
    'Hare for the tiller',
    '--out',
    'examples/out/tiller-hare',
  ],
];
for (const step of steps) {
  const { status } = spawnSync(process.execPath, step, { cwd: root, stdio: 'inherit' });
  if (status !== 0) {
    process.exitCode = status ?? 1;
    break;
  }
}
