/** The few triangles of a pattern that lie near the edge of its shadow. */
import type { ColumnField } from './column-field.js';
import type { RimIndex } from './gather-rim-spans.js';

/** Triangles wider than this many columns are kept without a look. */
const WIDEST = 2;

/**
 * Picks the triangles that come within two columns of an edge between a column that is hit and one that is not, and some more,
 * in their order. One pass here instead of two there: on a large scan nearly all triangles are far from the rim.
 *
 * @param placed Corners in columns and heights, x y z each.
 */
export function pickNearRim(
  triangles: Uint32Array,
  placed: Float64Array,
  field: ColumnField,
  rim: RimIndex,
): Uint32Array {
  const width = field.nu + 2;
  const height = field.nv + 2;
  const near = maskNear(field, rim, width, height);
  const picked = new Uint32Array(triangles.length);
  let count = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const xa = placed[a];
    const xb = placed[b];
    const xc = placed[c];
    const ya = placed[a + 1];
    const yb = placed[b + 1];
    const yc = placed[c + 1];
    const left = Math.min(xa, xb, xc);
    const low = Math.min(ya, yb, yc);
    // Places are never below −1, so truncation after adding 1 rounds down.
    const at = ((low + 1) | 0) * width + ((left + 1) | 0);
    const small = Math.max(xa, xb, xc) - left <= WIDEST && Math.max(ya, yb, yc) - low <= WIDEST;
    if (small && near[at] === 0) continue;
    picked[count] = triangles[t];
    picked[count + 1] = triangles[t + 1];
    picked[count + 2] = triangles[t + 2];
    count += 3;
  }
  return picked.subarray(0, count);
}

/** 1 for the columns within reach of an edge of the shadow; column (x, y) at `(y + 1) * width + x + 1`. */
function maskNear({ nu, nv }: ColumnField, rim: RimIndex, width: number, height: number): Uint8Array {
  const reach = WIDEST + 2;
  const mask = new Uint8Array(width * height);
  const mark = (x: number, y: number): void => {
    for (let row = Math.max(0, y + 1 - reach); row <= Math.min(height - 1, y + 1 + reach); row++) {
      const from = Math.max(0, x + 1 - reach);
      const to = Math.min(width - 1, x + 1 + reach);
      mask.fill(1, row * width + from, row * width + to + 1);
    }
  };
  for (let y = 0; y < nv; y++) {
    for (let x = -1; x < nu; x++) if (rim.alongU[y * (nu + 1) + x + 1] >= 0) mark(x, y);
  }
  for (let y = -1; y < nv; y++) {
    for (let x = 0; x < nu; x++) if (rim.alongV[(y + 1) * nu + x] >= 0) mark(x, y);
  }
  return mask;
}
