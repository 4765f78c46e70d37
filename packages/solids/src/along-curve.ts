/** An order in which points that lie near each other in plan mostly follow each other. */

/** Bits of each coordinate. */
const BITS = 10;

/** Numbers of the points along the curve that goes through a square quarter by quarter (Morton's order), in x and y. */
export function alongCurve(points: readonly (readonly [number, number, number])[]): Uint32Array {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    [x0, y0] = [Math.min(x0, x), Math.min(y0, y)];
    [x1, y1] = [Math.max(x1, x), Math.max(y1, y)];
  }
  const size = Math.max(x1 - x0, y1 - y0, Number.MIN_VALUE);
  const cell = (value: number): number => Math.min(2 ** BITS - 1, Math.floor((value / size) * 2 ** BITS));
  const codes = points.map(([x, y]) => {
    const [a, b] = [cell(x - x0), cell(y - y0)];
    let code = 0;
    for (let k = BITS - 1; k >= 0; k--) code = 4 * code + 2 * ((a >> k) & 1) + ((b >> k) & 1);
    return code;
  });
  return Uint32Array.from(points.keys()).sort((a, b) => codes[a] - codes[b] || a - b);
}
