/**
 * Raises a field of heights until nothing in it is steeper than a slope: under every place stands a cone with its tip on
 * the pattern, and the field becomes their upper hull (grey-scale dilation by a cone).
 *
 * Each column keeps the one cone that is highest over it. A cone wins over a connected patch, so it is handed from column
 * to column by sweeps to and fro, as in vector distance transforms, each hand-over comparing true distances from the true
 * tip. What is stored is therefore always the height of a real cone: never too high, and too low only where a patch is
 * cut off by less than a column.
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

/** Stands a cone at a place between columns. It is offered to the columns all round it, for it may win beside a better one. */
export function addCone(field: ConeField, x: number, y: number, z: number): void {
  const column = Math.round(x);
  const row = Math.round(y);
  for (let j = Math.max(0, row - 1); j <= Math.min(field.height - 1, row + 1); j++) {
    for (let i = Math.max(0, column - 1); i <= Math.min(field.width - 1, column + 1); i++) {
      offer(field, j * field.width + i, z - field.fall * Math.sqrt((x - i) ** 2 + (y - j) ** 2), x, y, z);
    }
  }
}

function offer(field: ConeField, i: number, over: number, x: number, y: number, z: number): boolean {
  if (!(over > field.over[i] && over >= field.floor)) return false;
  field.over[i] = over;
  field.tipX[i] = x;
  field.tipY[i] = y;
  field.tipZ[i] = z;
  return true;
}

/** Sweeps there and back at most; two settle nearly every field, and each further one only moves patches' borders. */
const MOST_SWEEPS = 24;

/** Spreads the cones over the whole grid. Cost: some 100 ns a column. */
export function spreadCones(field: ConeField): void {
  const { width, height } = field;
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let changed = false;
    for (let row = 0; row < height; row++) {
      for (let x = 0; x < width; x++) changed = hear(field, x, row, 1) || changed;
      for (let x = width - 1; x >= 0; x--) changed = take(field, x, row, x + 1, row) || changed;
    }
    for (let row = height - 1; row >= 0; row--) {
      for (let x = width - 1; x >= 0; x--) changed = hear(field, x, row, -1) || changed;
      for (let x = 0; x < width; x++) changed = take(field, x, row, x - 1, row) || changed;
    }
    if (!changed) return;
  }
}

/** Takes the best cone of the four neighbours already passed, going by `way`. */
function hear(field: ConeField, x: number, row: number, way: 1 | -1): boolean {
  let changed = take(field, x, row, x - way, row);
  changed = take(field, x, row, x - 1, row - way) || changed;
  changed = take(field, x, row, x, row - way) || changed;
  return take(field, x, row, x + 1, row - way) || changed;
}

function take(field: ConeField, x: number, row: number, fromX: number, fromRow: number): boolean {
  const { width, height, over, tipX, tipY, tipZ, fall } = field;
  if (fromX < 0 || fromX >= width || fromRow < 0 || fromRow >= height) return false;
  const from = fromRow * width + fromX;
  if (over[from] === -Infinity) return false;
  const i = row * width + x;
  const z = tipZ[from];
  if (z <= over[i]) return false;
  const dx = tipX[from] - x;
  const dy = tipY[from] - row;
  return offer(field, i, z - fall * Math.sqrt(dx * dx + dy * dy), tipX[from], tipY[from], z);
}
