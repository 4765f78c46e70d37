/** The half that beds in a follow board, with a little more of it under the joint. */
import { isOddsideError } from '@oddside/core';
import { bodyOfArrays, type PlainMesh } from './convert-body.js';
import { EdgeTable } from './edge-table.js';
import { fillHalves } from './fill-half.js';
import type { FramedJoint } from './frame-joint.js';
import { keptOf, type KeptHalf } from './kept-halves.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { withBody, type FramedDraw } from './prepare-draw.js';

/**
 * The cope half of a pattern, filled, reaching `depth` under the joint: moved sideways it then leaves no film on the joint.
 * On a level joint it is drawn straight down; otherwise the pattern itself is carried on. Over the joint both are the same.
 *
 * @param kept The half from the split before, or `null`: it is made anew, and comes out the same.
 */
export function boardHalf(
  scope: Scope,
  draw: FramedDraw,
  joint: FramedJoint,
  depth: number,
  kept: KeptHalf | null,
): { readonly half: Body; readonly errorMm3: number } {
  const before = kept && drawnBody(scope, kept, depth);
  if (kept && before) return { half: before, errorMm3: kept.errorMm3 };
  const made = withBody(scope, draw);
  const { errorMm3 } = made;
  const maker = fillHalves(scope, made, joint);
  if (joint.level !== null && !kept) {
    const cope = maker.cope();
    const half = keptOf(draw.frame, cope, joint.level, errorMm3);
    const drawn = cope.isEmpty() ? cope : drawnBody(scope, half, depth);
    if (drawn) return { half: drawn, errorMm3 };
  }
  return { half: maker.cope(-depth), errorMm3 };
}

/** A kept half drawn down, or `null` where the kernel would not have it as the solid that it is. */
function drawnBody(scope: Scope, { mesh, level, volumeMm3, errorMm3 }: KeptHalf, depth: number): Body | null {
  const { drawn, addedMm3 } = drawFoot(mesh, level, depth);
  try {
    const body = bodyOfArrays(scope, drawn.points, drawn.triangles, 'The half');
    return Math.abs(body.volume() - volumeMm3 - addedMm3) <= errorMm3 ? body : null;
  } catch (error) {
    if (isOddsideError(error)) return null;
    throw error;
  }
}

/** A mesh that stands on a level with its foot drawn down by a depth: straight walls under the foot's rim. */
export function drawFoot(
  { points, triangles }: PlainMesh,
  level: number,
  depth: number,
): { readonly drawn: PlainMesh; readonly addedMm3: number } {
  const near = 2 ** -20 * points.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const onFoot = (corner: number): boolean => Math.abs(points[3 * corner + 2] - level) <= near;
  const foot: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    if (onFoot(triangles[t]) && onFoot(triangles[t + 1]) && onFoot(triangles[t + 2])) foot.push(t);
  }
  const edges = new EdgeTable(3 * foot.length);
  for (const t of foot) for (let n = 0; n < 3; n++) edges.set(triangles[t + n], triangles[t + ((n + 1) % 3)], t);
  const lowered = new Int32Array(points.length / 3).fill(-1);
  const lower: number[] = [];
  const under = (corner: number): number => {
    if (lowered[corner] < 0) lowered[corner] = points.length / 3 + lower.push(corner) - 1;
    return lowered[corner];
  };
  const out = triangles.slice();
  const walls: number[] = [];
  let twice = 0;
  for (const t of foot) {
    for (let n = 0; n < 3; n++) {
      const [a, b] = [triangles[t + n], triangles[t + ((n + 1) % 3)]];
      out[t + n] = under(a);
      twice += points[3 * b] * points[3 * a + 1] - points[3 * a] * points[3 * b + 1];
      if (edges.get(b, a) < 0) walls.push(a, b, under(b), a, under(b), under(a));
    }
  }
  const corners = new Float32Array(points.length + 3 * lower.length);
  corners.set(points);
  lower.forEach((corner, k) => {
    corners.set([points[3 * corner], points[3 * corner + 1], points[3 * corner + 2] - depth], points.length + 3 * k);
  });
  const all = new Uint32Array(out.length + walls.length);
  all.set(out);
  all.set(walls, out.length);
  return { drawn: { points: corners, triangles: all }, addedMm3: (twice / 2) * depth };
}
