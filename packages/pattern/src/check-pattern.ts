/** Checks that what came is a pattern at all. Patterns are plain data and may have been made by hand. */
import { OddsideError } from '@oddside/core';
import type { Pattern } from './pattern.js';
import { isCoordinate } from './raw-mesh.js';

/**
 * Throws unless the arrays make a mesh: lengths are multiples of three, every number is a usable coordinate, every corner
 * number exists. Cost: two linear passes, about 4 ms a million triangles.
 *
 * @throws OddsideError `bad-pattern`.
 */
export function checkPattern(pattern: Pattern): void {
  const { positions, triangles } = pattern ?? {};
  if (!(positions instanceof Float64Array) || !(triangles instanceof Uint32Array)) {
    throw new OddsideError(
      'bad-pattern',
      'A pattern with positions (Float64Array) and triangles (Uint32Array) was expected. Use readPattern or decodePattern.',
    );
  }
  if (positions.length % 3 !== 0 || triangles.length % 3 !== 0) {
    throw new OddsideError(
      'bad-pattern',
      `Positions and triangles must come in threes, but there are ${positions.length} and ${triangles.length} numbers.`,
    );
  }
  if (triangles.length === 0) {
    throw new OddsideError('no-triangles', 'A pattern with triangles was expected, but it has none.');
  }
  const corners = positions.length / 3;
  for (let i = 0; i < triangles.length; i++) {
    if (triangles[i] >= corners) {
      throw new OddsideError(
        'bad-pattern',
        `Triangle ${Math.floor(i / 3)} names corner ${triangles[i]}, but there are only ${corners}.`,
        { triangle: Math.floor(i / 3) },
      );
    }
  }
  for (let i = 0; i < positions.length; i++) {
    if (!isCoordinate(positions[i])) {
      throw new OddsideError(
        'bad-pattern',
        `Corner ${Math.floor(i / 3)} has the coordinate ${positions[i]}, which is not a usable number.`,
        { corner: Math.floor(i / 3) },
      );
    }
  }
}
