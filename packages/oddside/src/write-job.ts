/** A job's files: the mould card, the JSON and the STL of the pattern as it lies. Needs Node. */
import { renderMouldCard } from '@oddside/card';
import { OddsideError } from '@oddside/core';
import { encodePattern } from '@oddside/pattern';
import type { CastingJob } from './casting-job.js';
import { toJson } from './to-json.js';

/** Where the files were written. */
export interface WrittenJob {
  readonly card: string;
  readonly json: string;
  readonly pattern: string;
}

/**
 * Writes the files of a job into a folder, which is made when it is not there.
 *
 * @throws OddsideError `unwritable-target` with the folder and the cause.
 */
export async function writeJob(job: CastingJob, folder: string): Promise<WrittenJob> {
  const { mkdir, writeFile } = await import('node:fs/promises');
  const { join } = await import('node:path');
  const files: WrittenJob = {
    card: join(folder, 'mould-card.html'),
    json: join(folder, 'job.json'),
    pattern: join(folder, 'laid-pattern.stl'),
  };
  const card = renderMouldCard(job);
  const json = `${JSON.stringify(toJson(job))}\n`;
  const pattern = encodePattern(job.laid, 'stl');
  try {
    await mkdir(folder, { recursive: true });
    await writeFile(files.card, card);
    await writeFile(files.json, json);
    await writeFile(files.pattern, pattern);
  } catch (cause) {
    throw new OddsideError(
      'unwritable-target',
      `The job could not be written into ${folder} (${(cause as Error).message}). Choose a folder you may write to.`,
      { folder },
      { cause },
    );
  }
  return files;
}
