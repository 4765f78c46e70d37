/** A job from its JSON, checked before anything is shown from it. */
import { OddsideError } from '@oddside/core';
import { findMisfit, type Shape } from './check-shape.js';
import { JOB_VERSION, type JobFile } from './job-json.js';
import { JOB_SCHEMA_TEXT } from './job-schema.js';

/**
 * Reads a job that `toJson` of the `oddside` package, or another tool, has written. The result is all a card needs:
 * `renderMouldCard(readJob(text))`.
 *
 * @param source The text of the file, or what `JSON.parse` made of it. It is not changed.
 * @returns The job. Fields that the schema does not know are kept. Cost: a few ms.
 * @throws OddsideError `bad-file` for text that is not JSON or not a job, with the place, what was expected and what came;
 *   `unsupported-file` for a job of another version.
 */
export function readJob(source: unknown): JobFile {
  const value = typeof source === 'string' ? parse(source) : source;
  if (typeof value !== 'object' || value === null || !('schemaVersion' in value)) {
    throw new OddsideError(
      'bad-file',
      'A casting job was expected, with a schemaVersion, but what came has none. Give the job.json that a plan wrote.',
    );
  }
  const version = value.schemaVersion;
  if (version !== JOB_VERSION) {
    throw new OddsideError(
      'unsupported-file',
      `This job is of version ${JSON.stringify(version)}; version ${JOB_VERSION} can be read. Plan it again, or read it with the release that wrote it.`,
      { version, supported: JOB_VERSION },
    );
  }
  const misfit = findMisfit(value, JSON.parse(JOB_SCHEMA_TEXT) as Shape);
  if (misfit) {
    const { at, expected, came } = misfit;
    throw new OddsideError(
      'bad-file',
      `The job's ${at} should be ${expected}, but ${came} came. See @oddside/card/schema/job-1.json for the shape.`,
      { at, expected, came },
    );
  }
  return value as JobFile;
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (cause) {
    throw new OddsideError(
      'bad-file',
      `A casting job was expected, but the text is not JSON (${(cause as Error).message}).`,
      {},
      { cause },
    );
  }
}
