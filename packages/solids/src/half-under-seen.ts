/**
 * A filled half made of what is seen of it, without uniting anything.
 *
 * Why that is the filled half: over the joint the cope tears all sand that has metal above it. With that sand filled, a
 * column is metal from the joint up to the highest face over it that looks up. Where those faces lie side by side, none
 * partly over another, they are the half's upper side as they stand.
 */
import { isOddsideError } from '@oddside/core';
import { bodyOfArrays } from './convert-body.js';
import { dropSheet, heightsOver, type DroppedSheet } from './drop-sheet.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body, PlaneLoops } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { pickSeen } from './pick-seen.js';
import type { PreparedDraw } from './prepare-draw.js';

/** How far past a leaning joint, as a share of the pattern's height. */
const PAST = 0.01;

/**
 * The half on one side of a plane joint with what it would tear filled.
 *
 * @param way 1: the cope's half, over the joint moved by `lift`; −1: the drag's half, under it.
 * @returns `null` where it cannot be had so within the stated error: faces lie partly over others, or nothing needs filling.
 * Cost: about 3 µs a triangle of the pattern, a fifth of uniting the half with its filling.
 */
export function halfUnderSeen(
  scope: Scope,
  { mesh, sides, errorMm3 }: PreparedDraw,
  joint: FramedJoint,
  lift: number,
  way: 1 | -1,
): Body | null {
  // A leaning joint goes through no three corners of 32 bits: the sheet ends a little past it and is cut there.
  const past = joint.level === null ? way * PAST * (mesh.box.max[2] - mesh.box.min[2]) : 0;
  const level = (x: number, y: number): number => Math.fround(joint.heightAt(x, y) + lift - past);
  const over = heightsOver(mesh, way, level);
  const isOver = (corner: number): boolean => over[corner] > 0;
  const { triangles } = mesh;
  const back = way > 0 ? sides.down : sides.up;
  const torn = back.some(
    (t) => isOver(triangles[3 * t]) || isOver(triangles[3 * t + 1]) || isOver(triangles[3 * t + 2]),
  );
  if (!torn) return null;
  const height = over.reduce((most, value) => Math.max(most, value), 0);
  const picked = pickSeen(mesh, sides, way, over, (4 * errorMm3) / height);
  if (!picked || picked.seen.length === 0) return null;
  const { seen, hidden } = picked;
  const sheet = dropSheet(mesh, seen, way, over, level);
  // Loops run anticlockwise round the sheet seen from where it looks; for the drag that is from below.
  const loops = sheet.loops.map((loop) => planOf(sheet.points, loop, way));
  const covers = Array.from(hidden, (t) => planOf(mesh.points, triangles.subarray(3 * t, 3 * t + 3), way));
  const alone = areaIn(scope, loops);
  const overlap = sheet.planMm2 - alone;
  const open = covers.length > 0 ? areaIn(scope, [...loops, ...covers]) - alone : 0;
  if (!((Math.abs(overlap) + open) * height <= errorMm3 / 2)) return null;
  const body = closedSheet(scope, sheet, loops, way, errorMm3 / 4);
  if (!body) return null;
  const half =
    joint.level === null
      ? way > 0
        ? joint.over(scope, body, lift)
        : joint.under(scope, body, lift)
      : scope.move(body, [0, 0, joint.level + lift - Math.fround(joint.level + lift)]);
  scope.free(body);
  return half;
}

/** The sheet closed in the joint; `null` where the kernel would not have it as the solid that it is. */
function closedSheet(
  scope: Scope,
  { points, triangles, loops, volumeMm3 }: DroppedSheet,
  plans: PlaneLoops,
  way: 1 | -1,
  slackMm3: number,
): Body | null {
  try {
    const corners = loops.flatMap((loop) => Array.from(way > 0 ? loop : loop.toReversed()));
    const cap = scope.kernel.triangulate(plans);
    const all = new Uint32Array(triangles.length + 3 * cap.length);
    all.set(triangles);
    cap.forEach(([a, b, c], k) => {
      all.set([corners[a], corners[way > 0 ? c : b], corners[way > 0 ? b : c]], triangles.length + 3 * k);
    });
    const body = bodyOfArrays(scope, points, all, 'The half');
    if (Math.abs(body.volume() - volumeMm3) <= slackMm3) return body;
    scope.free(body);
    return null;
  } catch (error) {
    if (isOddsideError(error)) return null;
    throw error;
  }
}

/** Corners in plan, anticlockwise from above. */
function planOf(points: Float32Array, corners: Uint32Array, way: 1 | -1): [number, number][] {
  const plan = Array.from(corners, (corner): [number, number] => [points[3 * corner], points[3 * corner + 1]]);
  return way > 0 ? plan : plan.toReversed();
}

function areaIn(scope: Scope, loops: PlaneLoops): number {
  const section = scope.own(new scope.kernel.CrossSection(loops, 'Positive'));
  const area = section.area();
  scope.free(section);
  return area;
}
