/** The job as a file: what `toJson` of the `oddside` package writes, and other tools may write too. */
import type { Finding } from '@oddside/core';
import type { PatternUnit } from '@oddside/pattern';
import type { MouldCardJob } from './job.js';

/** Version of the JSON's shape. It grows when a field is renamed or removed, not when one is added. */
export const JOB_VERSION = 1;

/** Units of every number in a job. */
export interface JobJsonUnits {
  readonly length: 'mm';
  readonly area: 'mm²';
  readonly volume: 'mm³';
  readonly mass: 'kg';
  readonly temperature: '°C';
  readonly angle: '°';
  readonly ratio: '1';
}

/** A mould card's job with its version and units, as JSON. Its schema is `@oddside/card/schema/job-1.json`. */
export interface JobFile extends MouldCardJob {
  readonly schemaVersion: 1;
  readonly units: JobJsonUnits;
  readonly pattern: { readonly name: string; readonly unit: PatternUnit; readonly findings: readonly Finding[] };
}
