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
  const naming = firstFrom(triangles, corners);
  if (naming >= 0) {
    const triangle = Math.floor(naming / 3);
    throw new OddsideError(
      'bad-pattern',
      `Triangle ${triangle} names corner ${triangles[naming]}, but there are only ${corners}.`,
      { triangle },
    );
  }
  const unusable = firstUnusable(positions);
  if (unusable >= 0) {
    const corner = Math.floor(unusable / 3);
    throw new OddsideError(
      'bad-pattern',
      `Corner ${corner} has the coordinate ${positions[unusable]}, which is not a usable number.`,
      { corner },
    );
  }
}

/** Where the first number stands that is `least` or more; −1 where there is none. */
function firstFrom(numbers: Uint32Array, least: number): number {
  for (let i = 0; i < numbers.length; i++) if (numbers[i] >= least) return i;
  return -1;
}

/** Where the first number stands that is no usable coordinate; −1 where there is none. */
function firstUnusable(numbers: Float64Array): number {
  for (let i = 0; i < numbers.length; i++) if (!isCoordinate(numbers[i])) return i;
  return -1;
}
