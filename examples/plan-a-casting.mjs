// @ts-check
// The canal-boat trust recasts a hare that sat on a tiller. From the scan to the mould card, in one call.
//   node examples/plan-a-casting.mjs [scan.stl] [alloy] [unit]
import { fileURLToPath } from 'node:url';
import { isOddsideError } from '@oddside/core';
import { planCasting, summariseJob, writeJob } from 'oddside';

const [scan = fileURLToPath(new URL('patterns/tiller-hare.stl', import.meta.url)), alloy = 'bz95_5', unit = 'mm'] =
  process.argv.slice(2);

try {
  const job = await planCasting(scan, { alloy, unit: /** @type {import('@oddside/core').LengthUnit} */ (unit) });
  console.log(summariseJob(job));

  // Every number is in the job as plain data.
  const { assessment } = job.mould.candidate;
  console.log(`Held whatever the joint: ${assessment.backDraftMm3.toFixed(0)} mm³`);
  console.log(`Trapped by a flat joint: ${assessment.flat.misfitMm3.toFixed(0)} mm³`);

  const written = await writeJob(job, fileURLToPath(new URL('out/plan-a-casting', import.meta.url)));
  console.log(`Mould card: ${written.card}`);
} catch (error) {
  if (!isOddsideError(error)) throw error;
  console.error(`${error.code}: ${error.message}`);
  process.exitCode = 1;
}
