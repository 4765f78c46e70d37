/** The job as plain JSON. */
import type { CastingJob } from './casting-job.js';

/** Version of the JSON's shape. It grows when a field is renamed or removed, not when one is added. */
export const JOB_SCHEMA_VERSION = 1;

/** A job without its meshes, ready for `JSON.stringify`. The laid pattern is kept as a file beside it. */
export type JobJson = Omit<CastingJob, 'pattern' | 'laid'> & {
  readonly schemaVersion: number;
  readonly pattern: Omit<CastingJob['pattern'], 'positions' | 'triangles'>;
};

/** Makes the JSON-safe form of a job. Nothing is rounded. */
export function toJson(job: CastingJob): JobJson {
  const { laid: _laid, pattern, ...rest } = job;
  const { name, unit, findings } = pattern;
  return { schemaVersion: JOB_SCHEMA_VERSION, ...rest, pattern: { name, unit, findings } };
}
