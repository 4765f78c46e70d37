/** What keeps a half from moving, column by column: sand of the cope under metal, sand of the drag over it. */
import type { SceneCatch, SceneCatches } from '@oddside/card';
import { dot, type Vec3 } from '@oddside/core';
import { listIntervals, type ColumnField } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** Sand lower than this share of a column's width is a facet's, not a hook's. */
const LEAST_SHARE = 0.02;

interface Tally {
  columns: number;
  length: number;
  longest: number;
  at: Vec3 | null;
}

/**
 * Finds what catches along the draw of a field. In a column sand between metal and metal belongs to the cope above the
 * joint and to the drag below it; sand between the joint and the metal on its way out catches too. A joint that follows the
 * pattern passes through the metal of every column, so only the first kind is left.
 *
 * @param field Columns of the same pattern.
 * @param jointHeight Of the flat joint, mm along the draw from the coordinates' origin.
 */
export function findCatches(pattern: Pattern, field: ColumnField, jointHeight: number): SceneCatches {
  const { starts, lows, highs } = listIntervals(pattern, field);
  const { nu, nv, column, origin, direction, u, v, u0, v0 } = field;
  const flat = jointHeight - dot(origin, direction);
  const start = (): Tally => ({ columns: 0, length: 0, longest: 0, at: null });
  const cope = { flat: start(), followed: start() };
  const drag = { flat: start(), followed: start() };
  for (let c = 0; c < nu * nv; c++) {
    const [from, to] = [starts[c], starts[c + 1]];
    if (from === to) continue;
    const [bottom, top] = [lows[from], highs[to - 1]];
    const x = u0 + (c % nu) * column;
    const y = v0 + Math.floor(c / nu) * column;
    const place = (z: number): Vec3 => {
      const at = (k: 0 | 1 | 2): number => origin[k] + x * u[k] + y * v[k] + z * direction[k];
      return [at(0), at(1), at(2)];
    };
    for (const kind of ['flat', 'followed'] as const) {
      const joint = kind === 'flat' ? flat : Math.max(bottom, Math.min(top, flat));
      let [over, overAt, on, onAt] = [0, 0, 0, 0];
      const catchCope = (length: number, at: number): void => {
        if (length <= 0) return;
        over += length;
        overAt = at;
      };
      const catchDrag = (length: number, at: number): void => {
        if (length <= 0) return;
        on += length;
        onAt = at;
      };
      for (let i = from; i + 1 < to; i++) {
        catchCope(lows[i + 1] - Math.max(highs[i], joint), lows[i + 1]);
        catchDrag(Math.min(lows[i + 1], joint) - highs[i], highs[i]);
      }
      catchCope(bottom - joint, bottom);
      catchDrag(joint - top, top);
      add(cope[kind], over, place(overAt), column);
      add(drag[kind], on, place(onAt), column);
    }
  }
  const area = column * column;
  const found = ({ columns, length, at }: Tally): SceneCatch => ({
    areaMm2: columns * area,
    sandMm3: length * area,
    at,
  });
  return {
    cope: { flat: found(cope.flat), followed: found(cope.followed) },
    pattern: { flat: found(drag.flat), followed: found(drag.followed) },
  };
}

function add(tally: Tally, length: number, at: Vec3, column: number): void {
  if (length < LEAST_SHARE * column) return;
  tally.columns++;
  tally.length += length;
  if (length <= tally.longest) return;
  tally.longest = length;
  tally.at = at;
}
