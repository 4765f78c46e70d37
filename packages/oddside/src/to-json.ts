/** The job as plain JSON. */
import type { CastingJob } from './casting-job.js';

/** Version of the JSON's shape. It grows when a field is renamed or removed, not when one is added. */
export const JOB_SCHEMA_VERSION = 1;

/** A job without its meshes and without the joint's height field, ready for `JSON.stringify`. */
export type JobJson = Omit<CastingJob, 'pattern' | 'laid' | 'surface'> & {
  readonly schemaVersion: number;
  readonly pattern: Omit<CastingJob['pattern'], 'positions' | 'triangles'>;
  readonly surface: Omit<CastingJob['surface'], 'heights'>;
};

/** Makes the JSON-safe form of a job. Nothing is rounded; typed arrays become lists, numbers that are not finite `null`. */
export function toJson(job: CastingJob): JobJson {
  const { laid: _laid, pattern, surface, ...rest } = job;
  const { name, unit, findings } = pattern;
  const { heights: _heights, ...joint } = surface;
  return plain({
    schemaVersion: JOB_SCHEMA_VERSION,
    ...rest,
    pattern: { name, unit, findings },
    surface: joint,
  }) as JobJson;
}

function plain(value: unknown): unknown {
  if (typeof value === 'number') return Number.isFinite(value) ? value : null;
  if (typeof value !== 'object' || value === null) return value;
  if (ArrayBuffer.isView(value)) return Array.from(value as Float64Array, plain);
  if (Array.isArray(value)) return value.map(plain);
  return Object.fromEntries(
    Object.entries(value)
      .filter(([, part]) => part !== undefined)
      .map(([key, part]) => [key, plain(part)]),
  );
}
