/** How many holes one can look through along a draw. */
import type { Vec3 } from '@oddside/core';
import { CELL_STRIDE, CELL_TOP, castColumns } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** Columns across the longer side: a hole narrower than one may be missed. */
const COLUMNS = 256;

/** Regions of columns without metal that do not reach the edge of the pattern's box in plan. */
export function countHoles(pattern: Pattern, direction: Vec3): number {
  const { nu, nv, cells } = castColumns(pattern, direction, COLUMNS);
  const open = Uint8Array.from({ length: nu * nv }, (_, k) => Number(cells[k * CELL_STRIDE + CELL_TOP] === -Infinity));
  const stack = new Int32Array(nu * nv);
  let holes = 0;
  for (let start = 0; start < open.length; start++) {
    if (!open[start]) continue;
    let height = 0;
    let inside = true;
    open[start] = 0;
    stack[height++] = start;
    while (height > 0) {
      const k = stack[--height];
      const i = k % nu;
      const edge = i === 0 || i === nu - 1 || k < nu || k >= nu * (nv - 1);
      if (edge) inside = false;
      for (const n of [i > 0 ? k - 1 : k, i < nu - 1 ? k + 1 : k, k - nu, k + nu]) {
        if (n < 0 || n >= open.length || !open[n]) continue;
        open[n] = 0;
        stack[height++] = n;
      }
    }
    if (inside) holes++;
  }
  return holes;
}
