/**
 * How many mould parts a pattern needs when they are stacked along the draw with flat joints and the pattern is split at
 * each. A part leaves its piece of pattern when the piece's sections only grow or only shrink upwards. A piece of such a
 * piece is such a piece too, so the fewest parts come from taking the longest growing piece from below for the drag, the
 * longest shrinking one from above for the cope, and between them the longest each time for the cheeks (geometry of
 * two-part moulds, cheeks; derived).
 */
import { checkNumber, resolveOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns } from './cast-columns.js';
import type { FlaskStack } from './flask-stack.js';
import { listIntervals } from './list-intervals.js';
import { stackParts } from './stack-parts.js';

export type { FlaskPart, FlaskStack } from './flask-stack.js';

/** What {@link countFlasks} takes. */
export interface CountFlasksOptions {
  /** Columns across the longer side of the shadow's box, 2–2048. Default 128. */
  readonly columns: number;
  /** Heights at which sections are compared, 2–4096. Default 256. */
  readonly levels: number;
  /**
   * Area of section each part may have going the wrong way, mm², before it is split. Default: a five-hundredth of the
   * shadow, because the facets of a round surface already make it waver by about that.
   */
  readonly slackMm2: number | undefined;
}

/** Defaults of {@link countFlasks}. */
export const COUNT_FLASKS_DEFAULTS: CountFlasksOptions = Object.freeze({
  columns: 128,
  levels: 256,
  slackMm2: undefined,
});

/**
 * Counts the parts of the smallest stack.
 *
 * @returns The stack. Deterministic. Cost: about one cast and 20 ns a column crossing.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`.
 */
export function countFlasks(pattern: Pattern, direction: Vec3, options?: Partial<CountFlasksOptions>): FlaskStack {
  const { columns, levels, slackMm2 } = resolveOptions('countFlasks', COUNT_FLASKS_DEFAULTS, options);
  checkNumber('columns', columns, { min: 2, max: 2048, whole: true });
  checkNumber('levels', levels, { min: 2, max: 4096, whole: true });
  if (slackMm2 !== undefined) checkNumber('slackMm2 (mm²)', slackMm2, { min: 0 });
  const field = castColumns(pattern, direction, columns);
  return stackParts(field, listIntervals(pattern, field), levels, slackMm2);
}
