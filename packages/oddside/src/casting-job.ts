/** The whole job, as {@link planCasting} returns it. */
import type { MouldCardJob } from '@oddside/card';
import type { Vec3 } from '@oddside/core';
import type { FlaskFits, PartingLine, PartingSurface, Remedy } from '@oddside/parting';
import type { Mended, Pattern } from '@oddside/pattern';

/** One thing that can be done about held or trapped sand; a place to look at in the rammed pattern's file coordinates. */
export interface JobRemedy extends Pick<Remedy, 'kind' | 'costs' | 'leftMm3' | 'where' | 'sentence'> {
  /** `where` as the pattern lies, mm; `null` where the remedy is about the whole joint or draw. */
  readonly laidAt: Vec3 | null;
}

/** Everything a founder decides before sand is rammed, with the numbers and their errors. */
export interface CastingJob extends MouldCardJob {
  /** The pattern as read, or as mended, in its file's coordinates, mm. */
  readonly pattern: Pattern;
  /** What mending did to the scan; empty where it was sound. */
  readonly mending: Mended['steps'];
  /** The pattern to ram, at its own size, as it lies: x along, y across, z above the joint. */
  readonly laid: Pattern;
  /** Where cope and drag meet on the pattern, with marks to make; in the laid pattern's coordinates. */
  readonly line: PartingLine;
  /** The joint outside the pattern, shaped to it with the least digging; in the laid pattern's coordinates. */
  readonly surface: PartingSurface;
  /** What can be done about sand that is held or trapped, the least trouble first. */
  readonly remedies: readonly JobRemedy[];
  /** How the pattern fits the flasks at hand; `null` where none were named. */
  readonly flasks: FlaskFits | null;
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
