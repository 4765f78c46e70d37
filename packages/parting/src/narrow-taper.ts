/**
 * How much the tapers along a pattern's upright steps come to, whether or not columns are narrow enough to show them.
 *
 * A step of height J that is to have a draft of angle θ needs a wedge of J² · tan θ / 2 along it; where the joint may lie
 * half way up, as at the shadow's rim, two of half the height: J² · tan θ / 4. Steps are read between neighbouring columns, and
 * a staircase of columns is never shorter than the edge it follows; so this is no less than what upright steps need, and up to
 * four thirds of it. What falls less than a column's share of the draft asks for nothing.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';

/** Volume of those wedges, mm³, for the tangent of a draft. Cost: one pass over the columns. */
export function wedgesAlongSteps({ cells, nu, nv, column }: ColumnField, tangent: number): number {
  if (!(tangent > 0)) return 0;
  const fall = column / tangent;
  let squares = 0;
  const step = (rise: number, share: number): void => {
    if (Math.abs(rise) > fall) squares += share * rise * rise;
  };
  const between = (i: number, j: number): void => {
    const [top, other] = [cells[i + CELL_TOP], cells[j + CELL_TOP]];
    if (top === -Infinity && other === -Infinity) return;
    if (top !== -Infinity && other !== -Infinity) {
      step(top - other, 1 / 2);
      step(cells[i + CELL_BOTTOM] - cells[j + CELL_BOTTOM], 1 / 2);
      return;
    }
    const rim = top === -Infinity ? j : i;
    squares += (cells[rim + CELL_TOP] - cells[rim + CELL_BOTTOM]) ** 2 / 4;
  };
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      const i = (row * nu + x) * CELL_STRIDE;
      if (x + 1 < nu) between(i, i + CELL_STRIDE);
      if (row + 1 < nv) between(i, i + nu * CELL_STRIDE);
      // Beyond the grid nothing is metal.
      const outside = Number(x === 0) + Number(x === nu - 1) + Number(row === 0) + Number(row === nv - 1);
      if (outside > 0 && cells[i + CELL_TOP] !== -Infinity) {
        squares += (outside * (cells[i + CELL_TOP] - cells[i + CELL_BOTTOM]) ** 2) / 4;
      }
    }
  }
  return tangent * column * squares;
}
