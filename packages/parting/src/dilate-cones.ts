/**
 * Raises a field of heights until nothing in it is steeper than a slope: under every place stands a cone with its tip on
 * the pattern, and the field becomes their upper hull (grey-scale dilation by a cone).
 *
 * Each column keeps the one cone that is highest over it. A cone wins over a connected patch, so it is handed from column
 * to column by sweeps to and fro, as in vector distance transforms, each hand-over comparing true distances from the true
 * tip. What is stored is therefore always the height of a real cone: never too high, and too low only where a patch is
 * cut off by less than a column.
 *
 * A column is asked again only when it has got another cone since. What its cone did not win from a neighbour before, it
 * does not win later, for heights only grow. Each row remembers the stretch that has news for the row below and for the one
 * above, and no more than that is gone over. Most columns have none to begin with: a cone that stands on their own axis was
 * offered to all their neighbours when it was stood there.
 */

/** The cones of a grid, row by row: tips in columns along the grid and heights, and the height over each column. */
export interface ConeField {
  readonly width: number;
  readonly height: number;
  readonly tipX: Float64Array;
  readonly tipY: Float64Array;
  readonly tipZ: Float64Array;
  /** Height of the best cone over each column's axis; −∞ before any came. */
  readonly over: Float64Array;
  /** Fall of a cone per column. */
  readonly fall: number;
  /** Heights below this do not matter: cones end there. */
  readonly floor: number;
}

/** An empty field. Memory: 32 bytes a column. */
export function startCones(width: number, height: number, fall: number, floor: number = -Infinity): ConeField {
  const size = width * height;
  const empty = (): Float64Array => new Float64Array(size);
  return { width, height, tipX: empty(), tipY: empty(), tipZ: empty(), over: empty().fill(-Infinity), fall, floor };
}

/**
 * Stands a cone at a place between columns. It is offered to the columns all round it, for it may win beside a better one.
 * {@link spreadCones} relies on that: every cone of a field must be stood in this way.
 */
export function addCone(field: ConeField, x: number, y: number, z: number): void {
  const { width, height, over, tipX, tipY, tipZ, fall, floor } = field;
  const column = Math.round(x);
  const row = Math.round(y);
  for (let j = Math.max(0, row - 1); j <= Math.min(height - 1, row + 1); j++) {
    for (let k = Math.max(0, column - 1); k <= Math.min(width - 1, column + 1); k++) {
      const dx = x - k;
      const dy = y - j;
      const here = z - fall * Math.sqrt(dx * dx + dy * dy);
      const i = j * width + k;
      if (!(here > over[i] && here >= floor)) continue;
      over[i] = here;
      tipX[i] = x;
      tipY[i] = y;
      tipZ[i] = z;
    }
  }
}

/** Sweeps there and back at most; two settle nearly every field, and each further one only moves patches' borders. */
const MOST_SWEEPS = 24;

/** Spreads the cones over the whole grid. Cost: some 2 ns a column, and 50 ns one that a cone from elsewhere reaches. */
export function spreadCones(field: ConeField): void {
  const { height } = field;
  const down = strangersIn(field);
  const up = { first: down.first.slice(), last: down.last.slice() };
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let changed = false;
    for (let row = 0; row < height; row++) changed = sweepRow(field, 1, down, up, row, sweep === 0) || changed;
    for (let row = height - 1; row >= 0; row--) changed = sweepRow(field, -1, up, down, row, false) || changed;
    if (!changed) return;
  }
}

/** Of each row, the first and the last column with another cone than when the row beside it last heard; first > last where none. */
interface News {
  readonly first: Int32Array;
  readonly last: Int32Array;
}

/** First column of a row without news. */
const NONE = 2 ** 30;

/** The columns whose cone stands elsewhere: before the first sweep only those can have news for a neighbour. */
function strangersIn({ width, height, over, tipX, tipY }: ConeField): News {
  const first = new Int32Array(height).fill(NONE);
  const last = new Int32Array(height).fill(-1);
  for (let row = 0, i = 0; row < height; row++) {
    for (let x = 0; x < width; x++, i++) {
      if (over[i] === -Infinity || (tipX[i] === x && tipY[i] === row)) continue;
      if (first[row] === NONE) first[row] = x;
      last[row] = x;
    }
  }
  return { first, last };
}

/**
 * Passes a row on a sweep: going by `way`, each column takes the best cone of the four neighbours already passed, and then,
 * going back, that of the neighbour not passed yet.
 *
 * @param told News that go this way. Those of the row passed before are heard, and done with.
 * @param untold News that go the other way.
 * @returns Whether any column got another cone.
 */
function sweepRow(field: ConeField, way: 1 | -1, told: News, untold: News, row: number, first: boolean): boolean {
  const { width, height } = field;
  const passed = row - way;
  const hasPassed = passed >= 0 && passed < height;
  // Columns of this row with news for the ones beside them: on the first sweep those that had it from the start.
  let newsFrom = first ? told.first[row] : NONE;
  let newsTo = first ? told.last[row] : -1;
  const from = Math.max(0, Math.min(newsFrom, hasPassed ? told.first[passed] : NONE) - 1);
  const to = Math.min(width - 1, Math.max(newsTo, hasPassed ? told.last[passed] : -1) + 1);
  if (from > to) return false;
  if (hasPassed) {
    told.first[passed] = NONE;
    told.last[passed] = -1;
  }
  const here = row * width;
  const there = passed * width;
  let changed = false;
  let won = false;
  for (let x = way > 0 ? from : to; x >= 0 && x < width && (won || (x >= from && x <= to)); x += way) {
    const beside = x - way;
    won = beside >= 0 && beside < width && takeCone(field, here + x, here + beside, x, row);
    if (hasPassed) {
      if (x > 0) won = takeCone(field, here + x, there + x - 1, x, row) || won;
      won = takeCone(field, here + x, there + x, x, row) || won;
      if (x + 1 < width) won = takeCone(field, here + x, there + x + 1, x, row) || won;
    }
    if (!won) continue;
    changed = true;
    if (x < newsFrom) newsFrom = x;
    if (x > newsTo) newsTo = x;
  }
  for (
    let x = (way > 0 ? newsTo : newsFrom) - way;
    x >= 0 && x < width && x >= newsFrom - 1 && x <= newsTo + 1;
    x -= way
  ) {
    if (!takeCone(field, here + x, here + x + way, x, row)) continue;
    changed = true;
    if (x < newsFrom) newsFrom = x;
    if (x > newsTo) newsTo = x;
  }
  if (!changed) return false;
  tell(told, row, newsFrom, newsTo);
  tell(untold, row, newsFrom, newsTo);
  return true;
}

/** Lets column `i`, at `x` of a row, have the cone of column `from` where that is higher over it. */
function takeCone(
  { over, tipX, tipY, tipZ, fall, floor }: ConeField,
  i: number,
  from: number,
  x: number,
  row: number,
): boolean {
  const z = tipZ[from];
  if (z <= over[i] || over[from] === -Infinity) return false;
  const dx = tipX[from] - x;
  const dy = tipY[from] - row;
  const here = z - fall * Math.sqrt(dx * dx + dy * dy);
  if (!(here > over[i] && here >= floor)) return false;
  over[i] = here;
  tipX[i] = tipX[from];
  tipY[i] = tipY[from];
  tipZ[i] = z;
  return true;
}

/** Notes that a stretch of a row has news. */
function tell({ first, last }: News, row: number, from: number, to: number): void {
  if (from < first[row]) first[row] = from;
  if (to > last[row]) last[row] = to;
}
