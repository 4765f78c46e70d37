/** Points in millimetres to SVG paths. Up in the drawing is positive in the numbers, so the second one is turned round. */

/** A number for SVG: micrometres are kept, and −0 is 0. */
export const mm = (value: number): string => String(Math.round(value * 1000) / 1000 + 0);

/**
 * A path through points kept as x y z in turn.
 *
 * @param up Place of the one that goes up: 1 for y in plan, 2 for z in a section.
 * @param least Points nearer than this to the last one drawn are left out, mm. The first is always drawn.
 */
export function pathOf(points: ArrayLike<number>, closed: boolean, up: 1 | 2, least = 0): string {
  let path = '';
  let lastX = Infinity;
  let lastY = Infinity;
  for (let i = 0; i + 2 < points.length; i += 3) {
    const x = points[i];
    const y = -points[i + up];
    const end = i + 5 >= points.length;
    if (path !== '' && !(end && !closed) && Math.hypot(x - lastX, y - lastY) < least) continue;
    path += `${path === '' ? 'M' : 'L'}${mm(x)} ${mm(y)}`;
    lastX = x;
    lastY = y;
  }
  return closed && path !== '' ? `${path}Z` : path;
}
