/** The whole job, as {@link planCasting} returns it. */
import type { MouldCardJob } from '@oddside/card';
import type { PartingLine, PartingSurface } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** Everything a founder decides before sand is rammed, with the numbers and their errors. */
export interface CastingJob extends MouldCardJob {
  /** The pattern as read, in its file's coordinates, mm. */
  readonly pattern: Pattern;
  /** The pattern to ram, at its own size, as it lies: x along, y across, z above the joint. */
  readonly laid: Pattern;
  /** Where cope and drag meet on the pattern, with marks to make; in the laid pattern's coordinates. */
  readonly line: PartingLine;
  /** The joint outside the pattern, shaped to it with the least digging; in the laid pattern's coordinates. */
  readonly surface: PartingSurface;
  /** The units of the numbers in this job. */
  readonly units: JobUnits;
}

/** Units of every number in a job. */
export interface JobUnits {
  readonly length: 'mm';
  readonly area: 'mm²';
  readonly volume: 'mm³';
  readonly mass: 'kg';
  readonly temperature: '°C';
  readonly angle: '°';
  readonly ratio: '1';
}

/** See {@link JobUnits}. */
export const JOB_UNITS: JobUnits = Object.freeze({
  length: 'mm',
  area: 'mm²',
  volume: 'mm³',
  mass: 'kg',
  temperature: '°C',
  angle: '°',
  ratio: '1',
});
