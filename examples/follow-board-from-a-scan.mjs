// @ts-check
// The hare's joint is no plane. The trust prints a board shaped to it and rams the drag on that, instead of digging.
//   node examples/follow-board-from-a-scan.mjs [scan.stl] [unit]
import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { formatVolume } from '@oddside/core';
import { encodePattern, measurePattern } from '@oddside/pattern';
import { makeParts, planCasting } from 'oddside';

const [scan = fileURLToPath(new URL('patterns/tiller-hare.stl', import.meta.url)), unit = 'mm'] = process.argv.slice(2);
const job = await planCasting(scan, {
  alloy: 'bz95_5',
  unit: /** @type {import('@oddside/core').LengthUnit} */ (unit),
  picturePx: 0,
});

// A joint steeper than sand stands cannot be made; then the board is flat, and what it traps is filled on the pattern.
const joint = job.surface.feasible ? 'shaped' : 'flat';
console.log(`A ${joint} joint. ${job.mould.candidate.reason}`);

const { parts, findings } = await makeParts(job, { joint });
const folder = fileURLToPath(new URL('out/follow-board', import.meta.url));
await mkdir(folder, { recursive: true });
for (const { name, pattern } of parts) {
  await writeFile(`${folder}/${name}.3mf`, encodePattern(pattern, '3mf'));
  console.log(`${name.padEnd(14)} ${formatVolume(measurePattern(pattern).volumeMm3)}`);
}
for (const finding of findings) console.log(`${finding.severity}: ${finding.message}`);
