/**
 * Where dowels go: deep inside the metal on both sides of the joint, far apart, as thick as the section bears, and one
 * thinner than the other so that the halves go together in one way only.
 */
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Vec3 } from '@oddside/core';
import { distanceInside, type FrameColumns } from './frame-columns.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** One dowel, standing along the draw across the joint. */
export interface Dowel {
  /** Where its axis meets the joint, mm in the pattern's coordinates. */
  readonly where: Vec3;
  readonly diameter: number;
  /** How far it reaches into each half, mm. */
  readonly depth: number;
}

/** The same in the frame. */
export interface PlacedDowel {
  readonly x: number;
  readonly y: number;
  readonly z: number;
  readonly radius: number;
  readonly depth: number;
}

export interface DowelWish {
  /** How many are wanted, 0–8. */
  readonly count: number;
  /** mm; `undefined`: as the section bears. */
  readonly diameter: number | undefined;
  /** Metal to be left round a hole and beyond its end, mm. */
  readonly wall: number;
  /** Room between dowel and hole, mm. */
  readonly clearance: number;
}

/** Diameters of dowels that are sold, mm (common practice, no source), thickest first. */
const DIAMETERS: readonly number[] = Object.freeze([12, 10, 8, 6, 5, 4, 3, 2]);
/** A dowel is at most this share of the section's width, and as deep in each half as it is thick. */
const SHARE = 0.2;

/** Finds places for dowels. Fewer than wanted, or none, where the section does not bear them. */
export function placeDowels(
  scope: Scope,
  metal: readonly Body[],
  columns: FrameColumns,
  joint: FramedJoint,
  wish: DowelWish,
): PlacedDowel[] {
  if (wish.count === 0) return [];
  const width = sectionWidth(columns, joint);
  const sizes = wish.diameter === undefined ? DIAMETERS.filter((d) => d <= SHARE * width) : [wish.diameter];
  let best: PlacedDowel[] = [];
  for (const diameter of sizes.length > 0 ? sizes : [Math.max(1, SHARE * width)]) {
    const found = stayInside(scope, metal, placesFor(columns, joint, diameter, wish), wish);
    if (found.length > best.length) best = found;
    if (best.length >= wish.count) break;
  }
  return best;
}

/** The dowel's room: it and its wall, as one upright cylinder across the joint. */
export function dowelBody(scope: Scope, { x, y, z, radius, depth }: PlacedDowel, more = 0): Body {
  const length = 2 * (depth + more);
  const cylinder = scope.own(scope.kernel.Manifold.cylinder(length, radius + more, radius + more, 48, true));
  const body = scope.move(cylinder, [x, y, z]);
  scope.free(cylinder);
  return body;
}

/** What a caller is told of a dowel. */
export function dowelOf(frame: DrawFrame, { x, y, z, radius, depth }: PlacedDowel): Dowel {
  return { where: outOfFrame(frame, x, y, z), diameter: 2 * radius, depth };
}

/** The proof that holes do not break out: of those whose room, wall included, has nothing outside the metal. */
function stayInside(
  scope: Scope,
  metal: readonly Body[],
  dowels: readonly PlacedDowel[],
  { wall, clearance }: DowelWish,
): PlacedDowel[] {
  if (dowels.length === 0) return [];
  const rooms = dowels.map((dowel) => dowelBody(scope, dowel, clearance + 0.9 * wall));
  // All rooms at once: asking the metal costs the same for one as for many.
  let outside = scope.unite(rooms);
  for (const half of metal) outside = scope.cut(outside, half);
  const inside = dowels.filter((_, k) => {
    const beyond = scope.meet(rooms[k], outside);
    const clear = beyond.volume() <= 1e-6 * rooms[k].volume();
    scope.free(beyond);
    return clear;
  });
  for (const room of rooms) scope.free(room);
  return inside;
}

function placesFor(columns: FrameColumns, joint: FramedJoint, diameter: number, wish: DowelWish): PlacedDowel[] {
  const { nu, nv, x, y, column } = columns;
  const depth = diameter;
  const reach = depth + wish.wall + wish.clearance;
  const mask = columns.whole.map((whole, k) => {
    if (!whole) return 0;
    const z = joint.heightAt(x[k], y[k]);
    return Number(columns.top[k] >= z + reach && columns.bottom[k] <= z - reach);
  });
  const room = distanceInside(mask, nu, nv, column);
  const need = diameter / 2 + wish.wall + wish.clearance + column / 2;
  const fit = Array.from(room.keys()).filter((k) => room[k] >= need);
  const chosen: number[] = [];
  // The first lies farthest from the middle of all places, each further one farthest from those before.
  const middle = [mean(fit.map((k) => x[k])), mean(fit.map((k) => y[k]))];
  for (let n = 0; n < wish.count; n++) {
    let best = -1;
    let most = n === 0 ? -1 : 3 * diameter;
    for (const k of fit) {
      const apart = Math.min(
        ...(n === 0
          ? [Math.hypot(x[k] - middle[0], y[k] - middle[1])]
          : chosen.map((c) => Math.hypot(x[k] - x[c], y[k] - y[c]))),
      );
      if (apart > most) [best, most] = [k, apart];
    }
    if (best < 0) break;
    chosen.push(best);
  }
  return chosen.map((k, n) => ({
    x: x[k],
    y: y[k],
    z: joint.heightAt(x[k], y[k]),
    radius: (n === 1 ? 0.8 * diameter : diameter) / 2,
    depth,
  }));
}

const mean = (list: readonly number[]): number =>
  list.reduce((sum, value) => sum + value, 0) / Math.max(1, list.length);

/** Twice the largest distance from the edge within the section at the joint, mm. */
function sectionWidth({ nu, nv, x, y, top, bottom, column }: FrameColumns, joint: FramedJoint): number {
  const mask = Uint8Array.from(x, (_, k) => {
    const z = joint.heightAt(x[k], y[k]);
    return Number(top[k] > z && bottom[k] < z);
  });
  return 2 * distanceInside(mask, nu, nv, column).reduce((a, b) => Math.max(a, b), 0);
}
