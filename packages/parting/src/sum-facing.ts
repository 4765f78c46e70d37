/**
 * How much of a surface looks along a draw, from sums over faces that look nearly the same way instead of from every face:
 * half the sum of `area · |normal · draw|`, which over a closed surface is what looks along it, and as much looks against it.
 *
 * A sum of area vectors is at most as long as they are together, so sums alone give a lower bound. Faces of one cell that all
 * look along the draw, or all against it, add up exactly; only cells that a draw sees edge on need what their faces differ
 * by, and with that the same sums give an upper bound.
 */

/** Sums over cells of directions, a direction and its opposite being one. */
export interface FacingSums {
  /** Sum of the area vectors of each cell, mm², n×3, and its length. */
  readonly sums: Float64Array;
  readonly lengths: Float64Array;
  /** What the given slacks of each cell's faces come to, mm². */
  readonly slack: Float64Array;
  /** How long the parts of the area vectors across their sum are together, mm², and the largest sine of one with the sum. */
  readonly bent: Float64Array;
  readonly sine: Float64Array;
  /** Area of all faces, and all slacks together, mm². */
  readonly areaMm2: number;
  readonly slackMm2: number;
}

/** Cells along each side of the octahedral map of directions; a cell is about a degree wide. */
const MAP = 128;
/** Sums of some million terms of one sign are right to better than this share. */
const ROUNDING = 1e-10;

/**
 * Sums faces by where they look.
 *
 * @param areas Area vectors, mm², n×3.
 * @param slack How far each may be off, mm². Default: not at all.
 * @returns The sums. Cost: two passes.
 */
export function sumFacing(areas: Float64Array, slack?: Float64Array): FacingSums {
  const count = areas.length / 3;
  const rowOf = new Int32Array(MAP * MAP).fill(-1);
  const rows = new Int32Array(count);
  const sums: number[] = [];
  const loose: number[] = [];
  let areaMm2 = 0;
  for (let i = 0; i < count; i++) {
    const [x, y, z] = [areas[3 * i], areas[3 * i + 1], areas[3 * i + 2]];
    const size = Math.abs(x) + Math.abs(y) + Math.abs(z);
    rows[i] = -1;
    if (!(size > 0)) continue;
    areaMm2 += Math.sqrt(x * x + y * y + z * z);
    const side = sideOf(x, y, z);
    const cell = cellAt((side * (x + y)) / size) * MAP + cellAt((side * (x - y)) / size);
    let row = rowOf[cell];
    if (row < 0) {
      row = rowOf[cell] = loose.length;
      sums.push(0, 0, 0);
      loose.push(0);
    }
    rows[i] = row;
    sums[3 * row] += side * x;
    sums[3 * row + 1] += side * y;
    sums[3 * row + 2] += side * z;
    loose[row] += slack ? slack[i] : 0;
  }
  const cells = loose.length;
  const lengths = Float64Array.from({ length: cells }, (_, c) =>
    Math.hypot(sums[3 * c], sums[3 * c + 1], sums[3 * c + 2]),
  );
  const bent = new Float64Array(cells);
  const sine = new Float64Array(cells);
  for (let i = 0; i < count; i++) {
    const row = rows[i];
    if (row < 0) continue;
    const over = 1 / lengths[row];
    const [ux, uy, uz] = [sums[3 * row] * over, sums[3 * row + 1] * over, sums[3 * row + 2] * over];
    const [x, y, z] = [areas[3 * i], areas[3 * i + 1], areas[3 * i + 2]];
    const along = x * ux + y * uy + z * uz;
    const across = Math.hypot(x - along * ux, y - along * uy, z - along * uz);
    bent[row] += across;
    sine[row] = Math.max(sine[row], across / Math.sqrt(x * x + y * y + z * z));
  }
  return {
    sums: Float64Array.from(sums),
    lengths,
    slack: Float64Array.from(loose),
    bent,
    sine,
    areaMm2,
    slackMm2: loose.reduce((sum, one) => sum + one, 0),
  };
}

/** At least so much looks along a unit vector, whatever the slacks make of the faces, mm². */
export function leastFacing({ sums, slack }: FacingSums, dx: number, dy: number, dz: number): number {
  let total = 0;
  for (let row = 0, i = 0; row < slack.length; row++, i += 3) {
    const along = Math.abs(sums[i] * dx + sums[i + 1] * dy + sums[i + 2] * dz) - slack[row];
    if (along > 0) total += along;
  }
  return (total / 2) * (1 - ROUNDING);
}

/** At most so much looks along a unit vector, slacks not counted, mm². */
export function mostFacing({ sums, lengths, bent, sine }: FacingSums, dx: number, dy: number, dz: number): number {
  let total = 0;
  for (let row = 0, i = 0; row < lengths.length; row++, i += 3) {
    const along = Math.abs(sums[i] * dx + sums[i + 1] * dy + sums[i + 2] * dz);
    // Faces that all look the same way as their sum add up to it; a draw nearly across them may split them.
    total += along > lengths[row] * (sine[row] + 1e-9) ? along : along + bent[row];
  }
  return (total / 2) * (1 + ROUNDING);
}

/** Which of two opposite directions stands for both. */
function sideOf(x: number, y: number, z: number): number {
  return z < 0 || (z === 0 && (y < 0 || (y === 0 && x < 0))) ? -1 : 1;
}

function cellAt(share: number): number {
  return Math.min(MAP - 1, Math.floor(((share + 1) / 2) * MAP));
}
