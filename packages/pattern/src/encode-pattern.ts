/** From a pattern to the bytes of a file. */
import { OddsideError, nearestNames } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { encodeStl } from './encode-stl.js';
import type { Pattern } from './pattern.js';

/** The formats that can be written. */
export type WritableFormat = 'stl';

/** All of them, for messages. */
export const WRITABLE_FORMATS: readonly WritableFormat[] = Object.freeze(['stl'] as const);

/**
 * Writes a pattern. Lengths are written in mm, whatever unit it was read in.
 *
 * @throws OddsideError `unknown-format`, `bad-pattern`.
 */
export function encodePattern(pattern: Pattern, format: WritableFormat): Uint8Array {
  checkPattern(pattern);
  switch (format) {
    case 'stl':
      return encodeStl(pattern);
    default:
      throw new OddsideError(
        'unknown-format',
        `The formats that can be written are ${WRITABLE_FORMATS.join(', ')}, but "${String(format)}" was asked for. ` +
          `Did you mean ${nearestNames(String(format), WRITABLE_FORMATS, 1)[0]}?`,
        { given: format, known: WRITABLE_FORMATS },
      );
  }
}
