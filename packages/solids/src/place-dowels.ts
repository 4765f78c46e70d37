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
/** Sides of a dowel's cylinder. */
const FACETS = 48;
/** Share of a room that rounding may find outside the metal. */
const OUTSIDE = 1e-6;

/** Where dowels may be tried, thickness by thickness. */
export interface DowelSites {
  /** Diameters, mm, the thickest first. */
  readonly diameters: readonly number[];
  /** Places for dowels of the n-th of them; few or none where there is no room. */
  places(n: number): PlacedDowel[];
}

export function dowelSites(columns: FrameColumns, joint: FramedJoint, wish: DowelWish): DowelSites {
  const width = sectionWidth(columns, joint);
  const sizes = wish.diameter === undefined ? DIAMETERS.filter((d) => d <= SHARE * width) : [wish.diameter];
  const diameters = sizes.length > 0 ? sizes : [Math.max(1, SHARE * width)];
  return { diameters, places: (n) => placesFor(columns, joint, diameters[n], wish) };
}

/**
 * Chooses dowels: the thickest of which as many as wanted stay inside, or the most that do. The proof that holes do not
 * break out is in the metal itself: the room, wall included, must lie in the halves.
 *
 * @param places Where those of the n-th thickness may stand; `null` where there is no such thickness any more.
 * @param holds For each half, how much of the room of each dowel lies in it, mm³.
 */
export async function chooseDowels(
  wish: DowelWish,
  places: (n: number) => Promise<readonly PlacedDowel[] | null>,
  holds: (dowels: readonly PlacedDowel[]) => Promise<readonly (readonly number[])[]>,
): Promise<PlacedDowel[]> {
  let best: PlacedDowel[] = [];
  for (let n = 0; best.length < wish.count; n++) {
    const tried = await places(n);
    if (!tried) break;
    if (tried.length <= best.length) continue;
    const held = await holds(tried);
    const found = tried.filter((dowel, k) => {
      const room = roomMm3(dowel, wish);
      return room - held.reduce((sum, half) => sum + half[k], 0) <= OUTSIDE * room;
    });
    if (found.length > best.length) best = found;
  }
  return best;
}

/** A dowel, larger by `more` all round, as one upright cylinder across the joint. */
export function dowelBody(scope: Scope, { x, y, z, radius, depth }: PlacedDowel, more = 0): Body {
  const length = 2 * (depth + more);
  const cylinder = scope.own(scope.kernel.Manifold.cylinder(length, radius + more, radius + more, FACETS, true));
  const body = scope.move(cylinder, [x, y, z]);
  scope.free(cylinder);
  return body;
}

/** What a caller is told of a dowel. */
export function dowelOf(frame: DrawFrame, { x, y, z, radius, depth }: PlacedDowel): Dowel {
  return { where: outOfFrame(frame, x, y, z), diameter: 2 * radius, depth };
}

/** A dowel's hole and what must be left round it, mm. */
const roomRound = ({ wall, clearance }: Pick<DowelWish, 'wall' | 'clearance'>): number => clearance + 0.9 * wall;

/** The dowel's room: it, its hole and nine tenths of the wall. */
export function dowelRoom(scope: Scope, dowel: PlacedDowel, wish: Pick<DowelWish, 'wall' | 'clearance'>): Body {
  return dowelBody(scope, dowel, roomRound(wish));
}

/** Volume of a {@link dowelRoom}: a prism on a regular polygon. */
function roomMm3({ radius, depth }: PlacedDowel, wish: DowelWish): number {
  const more = roomRound(wish);
  const section = (FACETS / 2) * Math.sin((2 * Math.PI) / FACETS) * (radius + more) ** 2;
  return section * 2 * (depth + more);
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
