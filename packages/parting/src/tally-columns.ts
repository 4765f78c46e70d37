/** What a search compares of a field of columns. */
import type { ColumnField } from './column-field.js';
import { findFlatJoint, type FlatJoint, type FlatJointRoom } from './find-flat-joint.js';
import { sumColumns, type ColumnSums } from './measure-columns.js';

/** The volumes that the columns hold, and the flat joint that is best for them. */
export interface ColumnTally {
  readonly sums: ColumnSums;
  readonly joint: FlatJoint;
}

/** Tallies a field in plain TypeScript. The kernel of the cast does the same, bit for bit. */
export function tallyPlainly(field: ColumnField, room?: FlatJointRoom): ColumnTally {
  return { sums: sumColumns(field), joint: findFlatJoint(field, room) };
}
