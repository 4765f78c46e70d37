/**
 * The grids on which a sloped joint is sought: a corridor with a ring of spare columns all round, so that no loop has to
 * look out for the edge, and the same corridor twice, four, eight times as coarse to start from.
 *
 * A column without metal stands as one that any height will do for: low −∞, high ∞.
 */

/** Columns with the span the joint should pass through; `low > high` where there is no metal and any height will do. */
export interface Corridor {
  readonly width: number;
  readonly height: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  /** Most that neighbours along a row or column may differ, mm; across a corner √2 times that. */
  readonly most: number;
}

/** A corridor with its ring. Column (x, row) of the corridor is at `(row + 1) * stride + x + 1`. */
export interface SlopedGrid {
  readonly width: number;
  readonly height: number;
  readonly stride: number;
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly most: number;
  /** Least and greatest height of the corridor: no joint gains by leaving them. */
  readonly lowest: number;
  readonly highest: number;
}

/** A surface, and the price of every limit on it: to the neighbours at (1, 0), (0, 1), (1, 1) and (−1, 1). */
export interface SlopedState {
  readonly surface: Float64Array;
  readonly prices: readonly [Float64Array, Float64Array, Float64Array, Float64Array];
}

/** Spare columns to a row: the ring's two, and room for four numbers at once to reach beyond the row. */
const SPARE = 6;

/** Lays a corridor out with its ring. */
export function layGrid({ width, height, low, high, most }: Corridor): SlopedGrid {
  const stride = width + SPARE;
  const size = stride * (height + 2);
  const lows = new Float64Array(size).fill(-Infinity);
  const highs = new Float64Array(size).fill(Infinity);
  let lowest = Infinity;
  let highest = -Infinity;
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      const i = row * width + x;
      if (low[i] > high[i]) continue;
      lows[(row + 1) * stride + x + 1] = low[i];
      highs[(row + 1) * stride + x + 1] = high[i];
      if (low[i] < lowest) lowest = low[i];
      if (high[i] > highest) highest = high[i];
    }
  }
  if (!(lowest <= highest)) lowest = highest = 0;
  return { width, height, stride, low: lows, high: highs, most, lowest, highest };
}

/** A corridor of half as many columns each way: means of the columns with metal, where two of four have it. */
export function coarsen({ width, height, low, high, most }: Corridor): Corridor {
  const across = (width + 1) >> 1;
  const down = (height + 1) >> 1;
  const coarse = { low: new Float64Array(across * down), high: new Float64Array(across * down) };
  for (let row = 0; row < down; row++) {
    for (let x = 0; x < across; x++) {
      let metal = 0;
      let lows = 0;
      let highs = 0;
      for (let k = 0; k < 4; k++) {
        const [fineX, fineRow] = [2 * x + (k & 1), 2 * row + (k >> 1)];
        const i = fineRow * width + fineX;
        if (fineX >= width || fineRow >= height || low[i] > high[i]) continue;
        metal++;
        lows += low[i];
        highs += high[i];
      }
      coarse.low[row * across + x] = metal >= 2 ? lows / metal : Infinity;
      coarse.high[row * across + x] = metal >= 2 ? highs / metal : -Infinity;
    }
  }
  return { width: across, height: down, ...coarse, most: 2 * most };
}

/** A level surface at a height, 0 in the ring, and no prices. */
export function levelState(grid: SlopedGrid, at: number): SlopedState {
  const { width, height, stride, lowest, highest } = grid;
  const empty = (): Float64Array => new Float64Array(grid.low.length);
  const surface = empty();
  const level = Math.min(highest, Math.max(lowest, at));
  for (let row = 1; row <= height; row++) surface.fill(level, row * stride + 1, row * stride + 1 + width);
  return { surface, prices: [empty(), empty(), empty(), empty()] };
}

/**
 * A state on a grid from one on the grid half as fine. Heights are mixed from the four nearest columns. A price is carried
 * by two limits where there was one, and four columns push where one did, so each is doubled.
 */
export function refineState(coarse: SlopedGrid, from: SlopedState, grid: SlopedGrid): SlopedState {
  const state = levelState(grid, 0);
  const { width, height, stride } = grid;
  const z = from.surface;
  for (let row = 0; row < height; row++) {
    for (let x = 0; x < width; x++) {
      const i = (row + 1) * stride + x + 1;
      const [cx, crow] = [x >> 1, row >> 1];
      const besideX = Math.min(coarse.width - 1, Math.max(0, cx + (x & 1 ? 1 : -1)));
      const besideRow = Math.min(coarse.height - 1, Math.max(0, crow + (row & 1 ? 1 : -1)));
      const at = (column: number, line: number): number => (line + 1) * coarse.stride + column + 1;
      state.surface[i] =
        (9 * z[at(cx, crow)] + 3 * z[at(besideX, crow)] + 3 * z[at(cx, besideRow)] + z[at(besideX, besideRow)]) / 16;
      for (let s = 0; s < 4; s++) state.prices[s][i] = 2 * from.prices[s][at(cx, crow)];
    }
  }
  closeEdges(grid, state.prices);
  return state;
}

/** Takes the prices off limits that reach into the ring. */
function closeEdges({ width, height, stride }: SlopedGrid, prices: SlopedState['prices']): void {
  for (let row = 1; row <= height; row++) {
    prices[0][row * stride + width] = 0;
    prices[2][row * stride + width] = 0;
    prices[3][row * stride + 1] = 0;
  }
  for (const s of [1, 2, 3] as const) prices[s].fill(0, height * stride);
}
