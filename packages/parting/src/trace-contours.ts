/** Lines of equal height on a grid with holes in it, by marching squares: what a moulder digs a shaped joint to. */

/** One line of equal height: places in columns, x y each; closed lines do not repeat their first point. */
export interface GridContour {
  readonly points: Float64Array;
  readonly closed: boolean;
}

/**
 * Traces one height.
 *
 * @param heights Row by row, NaN where there is nothing; cells with a NaN corner are left out.
 * @returns Lines with the lower ground on their left. Cost: one pass over the grid.
 */
export function traceContour(heights: Float64Array, nx: number, ny: number, level: number): GridContour[] {
  // Crossings are numbered by the grid edge they lie on: 2c along x from column c, 2c + 1 along y.
  const next = new Map<number, number>();
  const entered = new Set<number>();
  const link = (from: number, to: number): void => {
    next.set(from, to);
    entered.add(to);
  };
  for (let y = 0; y + 1 < ny; y++) {
    for (let x = 0; x + 1 < nx; x++) {
      const c = y * nx + x;
      const [h00, h10, h11, h01] = [heights[c], heights[c + 1], heights[c + nx + 1], heights[c + nx]];
      const sum = h00 + h10 + h11 + h01;
      if (Number.isNaN(sum)) continue;
      const bits =
        Number(h00 < level) | (Number(h10 < level) << 1) | (Number(h11 < level) << 2) | (Number(h01 < level) << 3);
      if (bits === 0 || bits === 15) continue;
      const [below, right, above, left] = [2 * c, 2 * (c + 1) + 1, 2 * (c + nx), 2 * c + 1];
      if (bits === 5 || bits === 10) {
        // The middle decides whether the low corners are joined.
        const joined = sum / 4 < level;
        if (bits === 5) {
          link(below, joined ? right : left);
          link(above, joined ? left : right);
        } else {
          link(right, joined ? above : below);
          link(left, joined ? below : above);
        }
        continue;
      }
      const low = (k: number): boolean => ((bits >> k) & 1) === 1;
      const enter = low(0) && !low(1) ? below : low(1) && !low(2) ? right : low(2) && !low(3) ? above : left;
      const leave = !low(0) && low(1) ? below : !low(1) && low(2) ? right : !low(2) && low(3) ? above : left;
      link(enter, leave);
    }
  }
  const contours: GridContour[] = [];
  const follow = (start: number): void => {
    const points: number[] = [];
    let edge: number | undefined = start;
    do {
      points.push(...crossing(heights, nx, edge, level));
      const after: number | undefined = next.get(edge);
      next.delete(edge);
      edge = after;
    } while (edge !== undefined && edge !== start);
    contours.push({ points: Float64Array.from(points), closed: edge === start });
  };
  const starts = [...next.keys()];
  for (const edge of starts) if (!entered.has(edge)) follow(edge);
  for (const edge of starts) if (next.has(edge)) follow(edge);
  return contours;
}

function crossing(heights: Float64Array, nx: number, edge: number, level: number): [number, number] {
  const c = edge >> 1;
  const alongY = edge & 1;
  const [a, b] = [heights[c], heights[alongY ? c + nx : c + 1]];
  const part = (level - a) / (b - a);
  const x = c % nx;
  const y = (c - x) / nx;
  return alongY ? [x, y + part] : [x + part, y];
}
