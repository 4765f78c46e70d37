// @ts-check
// A folder of scans to one table: which are sound, how big, how heavy in bronze, and whether they would draw.
//   node examples/table-of-scans.mjs [folder] [unit]
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { formatMass, formatVolume, isOddsideError } from '@oddside/core';
import { findAlloy } from '@oddside/foundry';
import { advisePartings } from '@oddside/parting';
import { inspectPattern, measurePattern, readPattern } from '@oddside/pattern';

const [folder = fileURLToPath(new URL('patterns', import.meta.url)), unit = 'mm'] = process.argv.slice(2);
const bronze = findAlloy('bz95_5');

for (const file of (await readdir(folder)).sort()) {
  if (!/\.(stl|obj|ply|3mf|glb|gltf)$/i.test(file)) continue;
  try {
    const pattern = await readPattern(join(folder, file), {
      unit: /** @type {import('@oddside/core').LengthUnit} */ (unit),
    });
    const { closed, consistent, triangles } = inspectPattern(pattern);
    const { volumeMm3 } = measurePattern(pattern);
    const { candidates } = await advisePartings(pattern, { samples: 300, columns: 128 });
    const massKg = volumeMm3 * bronze.densityKgM3.value * 1e-9;
    console.log(
      `${file.padEnd(28)} ${String(triangles).padStart(8)} triangles  ${(closed && consistent ? 'sound' : 'not sound').padEnd(10)}` +
        `${formatVolume(volumeMm3).padEnd(12)} ${formatMass(massKg).padEnd(9)} ${candidates[0]?.reason ?? 'no surface'}`,
    );
  } catch (error) {
    if (!isOddsideError(error)) throw error;
    console.log(`${file.padEnd(28)} ${error.code}: ${error.message}`);
  }
}
