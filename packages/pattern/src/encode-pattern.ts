/** From a pattern to the bytes of a file. */
import { OddsideError, nearestNames } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { encode3mf } from './encode-3mf.js';
import { encodeGlb } from './encode-glb.js';
import { encodeObj } from './encode-obj.js';
import { encodePly } from './encode-ply.js';
import { encodeStl } from './encode-stl.js';
import type { Pattern } from './pattern.js';

/** The formats that can be written. */
export type WritableFormat = 'stl' | 'obj' | 'ply' | '3mf' | 'glb';

/** All of them, for messages. */
export const WRITABLE_FORMATS: readonly WritableFormat[] = Object.freeze(['stl', 'obj', 'ply', '3mf', 'glb'] as const);

/**
 * Writes a pattern: `stl` (binary), `obj`, `ply` (binary), `3mf`, `glb`. Lengths are written in mm, whatever unit it was
 * read in; in metres in a GLB, as glTF demands. Axes are kept: glTF viewers take y for up. OBJ, PLY and 3MF keep every
 * digit; STL and GLB keep 32-bit floats, GLB about the middle of the pattern.
 *
 * @throws OddsideError `unknown-format`, `bad-pattern`.
 */
export function encodePattern(pattern: Pattern, format: WritableFormat): Uint8Array {
  checkPattern(pattern);
  switch (format) {
    case 'stl':
      return encodeStl(pattern);
    case 'obj':
      return encodeObj(pattern);
    case 'ply':
      return encodePly(pattern);
    case '3mf':
      return encode3mf(pattern);
    case 'glb':
      return encodeGlb(pattern);
    default:
      throw new OddsideError(
        'unknown-format',
        `The formats that can be written are ${WRITABLE_FORMATS.join(', ')}, but "${String(format)}" was asked for. ` +
          `Did you mean ${nearestNames(String(format), WRITABLE_FORMATS, 1)[0]}?`,
        { given: format, known: WRITABLE_FORMATS },
      );
  }
}
