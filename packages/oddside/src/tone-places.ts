/** Which half a place of the laid pattern leaves with, as the tone of a picture. */
import type { ToneAt } from '@oddside/card';
import { castColumns, findWallSines, surfaceClassAt } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { toneOfClass } from './tone-of-class.js';

/** Columns across the shadow for telling what is held where. */
const CLASS_COLUMNS = 512;

/** Tells the tone of each place of a laid pattern (draw along +z, joint at height 0). */
export function tonePlaces(laid: Pattern): ToneAt {
  const field = castColumns(laid, [0, 0, 1], CLASS_COLUMNS);
  const { wallSines } = findWallSines(laid, field.direction);
  // Called for every pixel: places are handed on one by one, for lists of them would be millions.
  return (x, y, z, nx, ny, nz, triangle) =>
    toneOfClass(surfaceClassAt(field, x, y, z, nx, ny, nz, 0, wallSines[triangle]));
}
