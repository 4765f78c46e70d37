/** The back of a follow board hollowed out to save plastic, with ribs left standing. */
import { checkNumber } from '@oddside/core';
import { bodyOfArrays, boxBody } from './convert-body.js';
import type { FrameColumns } from './frame-columns.js';
import type { FramedJoint } from './frame-joint.js';
import { gridTriangles } from './frame-surface.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** How to hollow a board. */
export interface HollowBoard {
  /** Thickness of what is left everywhere, mm. Default 4. */
  readonly wall?: number;
  /** Distance between ribs, mm. Default 40; 0 for none. */
  readonly ribs?: number;
}

/** Cells along a side of the plan at most. */
const MOST_CELLS = 220;

/**
 * What to take away behind the board's face. The face is taken at its deepest within a wall's thickness all round, so
 * that the wall is nowhere thinner than asked; `null` where nothing can be taken.
 */
export function hollowBack(
  scope: Scope,
  columns: FrameColumns,
  joint: FramedJoint,
  plan: readonly [number, number, number, number],
  top: number,
  clearance: number,
  { wall: askedWall, ribs: askedRibs }: HollowBoard,
): Body | null {
  const wall = checkNumber('hollow.wall (mm)', askedWall ?? 4, { min: 0.4 });
  const ribs = checkNumber('hollow.ribs (mm)', askedRibs ?? 40, { min: 0 });
  const [x0, y0, x1, y1] = [plan[0] + wall, plan[1] + wall, plan[2] - wall, plan[3] - wall];
  if (x1 - x0 < wall || y1 - y0 < wall) return null;
  const cell = Math.max(wall / 3, columns.column, (x1 - x0) / MOST_CELLS, (y1 - y0) / MOST_CELLS);
  const [nx, ny] = [Math.ceil((x1 - x0) / cell) + 1, Math.ceil((y1 - y0) / cell) + 1];
  const [sx, sy] = [(x1 - x0) / (nx - 1), (y1 - y0) / (ny - 1)];
  const face = new Float64Array(nx * ny);
  for (let k = 0; k < face.length; k++) {
    const [x, y] = [x0 + (k % nx) * sx, y0 + Math.floor(k / nx) * sy];
    face[k] = joint.highestOver(x - sx, y - sy, x + sx, y + sy);
  }
  for (let k = 0; k < columns.x.length; k++) {
    if (columns.top[k] === -Infinity) continue;
    const [i, j] = [Math.round((columns.x[k] - x0) / sx), Math.round((columns.y[k] - y0) / sy)];
    if (i < 0 || j < 0 || i >= nx || j >= ny) continue;
    face[j * nx + i] = Math.max(face[j * nx + i], columns.top[k] + clearance);
  }
  const cells = Math.ceil((wall + clearance) / Math.min(sx, sy)) + 1;
  const deep = highestAround(face, nx, ny, cells);
  // Where the wall leaves nothing to take, the floor of the hollow lies beyond the back, and a trim takes it away.
  const roof = top + 1;
  const points = new Float32Array(nx * ny * 6);
  for (let k = 0; k < face.length; k++) {
    const [x, y] = [x0 + (k % nx) * sx, y0 + Math.floor(k / nx) * sy];
    points.set([x, y, Math.min(deep[k] + wall, roof - 0.5)], 3 * k);
    points.set([x, y, roof], 3 * (k + face.length));
  }
  let hollow = bodyOfArrays(scope, points, gridTriangles(nx, ny), 'The hollow');
  for (const rib of ribs > 0 ? ribSlabs(scope, [x0, y0, x1, y1], ribs, wall / 2, deep, roof) : []) {
    hollow = scope.cut(hollow, rib);
  }
  return hollow.isEmpty() ? null : hollow;
}

function ribSlabs(
  scope: Scope,
  [x0, y0, x1, y1]: readonly [number, number, number, number],
  spacing: number,
  half: number,
  face: Float64Array,
  roof: number,
): Body[] {
  const floor = face.reduce((a, b) => Math.min(a, b), Infinity) - 1;
  const places = (from: number, to: number): number[] => {
    const count = Math.floor((to - from) / spacing);
    return Array.from({ length: count }, (_, k) => from + ((to - from) * (k + 1)) / (count + 1));
  };
  return [
    ...places(x0, x1).map((x) => boxBody(scope, { min: [x - half, y0 - 1, floor], max: [x + half, y1 + 1, roof + 1] })),
    ...places(y0, y1).map((y) => boxBody(scope, { min: [x0 - 1, y - half, floor], max: [x1 + 1, y + half, roof + 1] })),
  ];
}

/** The highest value within `reach` cells both ways, first along rows, then along columns. */
function highestAround(values: Float64Array, nx: number, ny: number, reach: number): Float64Array {
  const rows = new Float64Array(values.length);
  const out = new Float64Array(values.length);
  const most = (from: Float64Array, k: number, at: number, count: number, step: number): number => {
    let best = -Infinity;
    for (let n = Math.max(-reach, -at); n <= Math.min(reach, count - 1 - at); n++)
      best = Math.max(best, from[k + n * step]);
    return best;
  };
  for (let k = 0; k < values.length; k++) rows[k] = most(values, k, k % nx, nx, 1);
  for (let k = 0; k < values.length; k++) out[k] = most(rows, k, Math.floor(k / nx), ny, nx);
  return out;
}
