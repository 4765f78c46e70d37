// @ts-check
// Where does the joint run round the hare? The trust marks it with a surface gauge, and lays a paper outline on the board.
//   node examples/parting-line-to-template.mjs [scan.stl] [unit]
import { mkdir, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { renderTemplates } from '@oddside/card';
import { formatLength } from '@oddside/core';
import { planCasting, toJson } from 'oddside';

const [scan = fileURLToPath(new URL('patterns/tiller-hare.stl', import.meta.url)), unit = 'mm'] = process.argv.slice(2);
const job = await planCasting(scan, {
  alloy: 'bz95_5',
  unit: /** @type {import('@oddside/core').LengthUnit} */ (unit),
  picturePx: 0,
});

const { line } = job;
console.log(`Parting line ${formatLength(line.length)} long; up to ${formatLength(line.rise)} above the flat joint,`);
console.log(`down to ${formatLength(line.fall)} below it. Set the gauge to these heights above the board:`);
for (const { along, aboveBoard } of line.loops[0].stations) {
  console.log(`  ${formatLength(along).padStart(8)} along  ${formatLength(aboveBoard).padStart(8)} high`);
}

const folder = fileURLToPath(new URL('out/parting-line', import.meta.url));
await mkdir(folder, { recursive: true });
for (const { id, width, height, sheet, pages } of renderTemplates(toJson(job), { paper: 'a4' })) {
  await writeFile(`${folder}/${id}.svg`, sheet);
  for (const [i, page] of pages.entries()) await writeFile(`${folder}/${id}-page-${i + 1}.svg`, page);
  console.log(`${id}: ${Math.round(width)} × ${Math.round(height)} mm on ${pages.length} A4 pages`);
}
