/**
 * How fast back draft can change when the draw is turned: what a founder's hand, a degree out of true, may cost.
 *
 * Where the top falls by J from one column to the next there is an edge with sand beside it. Turned by a small angle, the
 * edge hangs out over that sand by the angle times the height: for each millimetre of edge J²/2 more or less is held. The
 * same from below. Where a held gap opens at the rim of the shadow its closing or opening counts as well. (Geometry of
 * two-part moulds, dependence on the direction.) An edge counts by its length square to the turn, and a step that falls
 * away to one side only hangs over when turned to that side, so the four quarters are summed apart; the worst is stated.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP } from './column-field.js';
import type { ColumnField } from './column-field.js';
import { heldIn } from './measure-columns.js';

/** Sums of half squares of steps along one line direction, by the way in which turning the draw makes them hang over. */
interface Steps {
  forward: number;
  back: number;
}

/**
 * Bound on the change of back draft per radian of turn at this draw, mm³.
 *
 * It bounds the first-order change at this very draw; further off it may be more. Cost: two passes over the columns.
 */
export function backDraftPerRadian(field: ColumnField): number {
  const alongU = stepsAlong(field, 1, 0);
  const alongV = stepsAlong(field, 0, 1);
  const most = (steps: Steps): number => Math.max(steps.forward, steps.back);
  return field.column * Math.hypot(most(alongU), most(alongV));
}

/** The steps from each column to the one `du` on along u and `dv` along v, one of them 1 and the other 0. */
function stepsAlong({ cells, nu, nv }: ColumnField, du: 0 | 1, dv: 0 | 1): Steps {
  const steps: Steps = { forward: 0, back: 0 };
  const on = (du + dv * nu) * CELL_STRIDE;
  // One column of nothing is read before and after each line, so that its ends are rims.
  for (let y = 0; y < nv + dv; y++) {
    for (let x = 0; x < nu + du; x++) {
      const j = (y * nu + x) * CELL_STRIDE;
      const i = j - on;
      const here = x >= du && y >= dv && cells[i + CELL_TOP] !== -Infinity;
      const there = x < nu && y < nv && cells[j + CELL_TOP] !== -Infinity;
      if (here !== there) {
        const gap = heldIn(cells, here ? i : j);
        steps.forward += (gap * gap) / 2;
        steps.back += (gap * gap) / 2;
      } else if (here) {
        const before = x >= 2 * du && y >= 2 * dv ? i - on : -1;
        const after = x + du < nu && y + dv < nv ? j + on : -1;
        // A top that rises ahead hangs back over what is behind it when the draw is turned ahead, and a bottom likewise.
        addStep(jumpOf(cells, CELL_TOP, before, i, j, after), steps);
        addStep(jumpOf(cells, CELL_BOTTOM, before, i, j, after), steps);
      }
    }
  }
  return steps;
}

function addStep(jump: number, steps: Steps): void {
  if (jump > 0) steps.forward += (jump * jump) / 2;
  else steps.back += (jump * jump) / 2;
}

/**
 * The step between two columns less what the slope beside it accounts for: a slope, however steep, is no edge. The gentler
 * of the slopes on its two sides is taken, as far as it goes the same way; at the rim there is only one.
 */
function jumpOf(cells: Float64Array, place: number, before: number, i: number, j: number, after: number): number {
  const step = cells[j + place] - cells[i + place];
  if (step === 0) return 0;
  const way = step > 0 ? 1 : -1;
  const back = before >= 0 ? (cells[i + place] - cells[before + place]) * way : Infinity;
  const ahead = after >= 0 ? (cells[after + place] - cells[j + place]) * way : Infinity;
  // A neighbour outside the shadow has no height and gives an infinity of either sign: it is no slope either.
  const slope = Math.min(Math.abs(back) < Infinity ? back : Infinity, Math.abs(ahead) < Infinity ? ahead : Infinity);
  return way * Math.max(0, Math.abs(step) - (slope < Infinity ? Math.max(0, slope) : 0));
}
