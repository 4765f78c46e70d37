/** Where to cut a laid pattern upright along its length, so that the drawing shows something. */
import { castColumns, CELL_BOTTOM, CELL_METAL, CELL_STRIDE, CELL_TOP, sectionAtHeight } from '@oddside/parting';
import type { JobSection } from '@oddside/card';
import type { Pattern } from '@oddside/pattern';

/** Columns across the shadow, and strips across the pattern that they are gathered in. */
const COLUMNS = 96;
const STRIPS = 41;
/** The middle is as good as a cut that shows so much more at most. */
const MIDDLE_SHARE = 0.9;

/** y of the two cuts, mm in the laid pattern's coordinates. */
export interface Cuts {
  /** Where the cut shows most metal. */
  readonly most: number;
  /** Where a flat joint traps most. */
  readonly trapped: number;
}

/** Chooses the cuts of a laid pattern: draw along +z, flat joint at height 0. One cast of few columns. */
export function chooseCuts(laid: Pattern): Cuts {
  const { cells, nu, nv, u, v, origin, u0, v0, column, lowest } = castColumns(laid, [0, 0, 1], COLUMNS);
  const half = Math.max(nu, nv) * column;
  const metal = new Float64Array(STRIPS);
  const missed = new Float64Array(STRIPS);
  const y = (x: number, row: number): number => origin[1] + (u0 + x * column) * u[1] + (v0 + row * column) * v[1];
  let [low, high] = [half, -half];
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      if (cells[(row * nu + x) * CELL_STRIDE + CELL_TOP] === -Infinity) continue;
      low = Math.min(low, y(x, row));
      high = Math.max(high, y(x, row));
    }
  }
  if (!(high > low) || !Number.isFinite(lowest)) return { most: 0, trapped: 0 };
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      const i = (row * nu + x) * CELL_STRIDE;
      if (cells[i + CELL_TOP] === -Infinity) continue;
      const strip = Math.min(STRIPS - 1, Math.floor(((y(x, row) - low) / (high - low)) * STRIPS));
      metal[strip] += cells[i + CELL_METAL];
      missed[strip] += Math.max(0, cells[i + CELL_BOTTOM] + origin[2], -cells[i + CELL_TOP] - origin[2]);
    }
  }
  const place = (sums: Float64Array): number => {
    const middle = Math.floor((-low / (high - low)) * STRIPS);
    let best = middle;
    for (let strip = 0; strip < STRIPS; strip++) {
      if (MIDDLE_SHARE * sums[strip] > sums[best]) best = strip;
    }
    // A strip that only just passed may have a better neighbour.
    if (best !== middle) best = sums.indexOf(Math.max(...sums));
    return best === middle ? 0 : low + ((best + 0.5) / STRIPS) * (high - low);
  };
  return { most: place(metal), trapped: place(missed) };
}

/** Cuts a laid pattern for a drawing: places to the µm, and none nearer to the last one than a thousandth of the length. */
export function cutLengthwise(laid: Pattern, across: number, length: number): JobSection {
  const loops = sectionAtHeight(laid, [0, 1, 0], across).loops.map(({ points }) => {
    const kept: number[] = [];
    for (let i = 0; i < points.length; i += 3) {
      const n = kept.length;
      if (n > 0 && Math.hypot(points[i] - kept[n - 3], points[i + 2] - kept[n - 1]) < length / 1000) continue;
      for (let k = 0; k < 3; k++) kept.push(Math.round(points[i + k] * 1000) / 1000);
    }
    return { points: kept };
  });
  return across === 0 ? { loops } : { across, loops };
}
