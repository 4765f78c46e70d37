/**
 * Convex outlines laid in a rectangle without overlap, each with sand round it. Every outline goes where a corner of the
 * free places lets it: on the rectangle's corners, or where two keep-out outlines (Minkowski sums) meet. Many orders are
 * tried, so that what is found is good, not proven best.
 */
import type { Steps } from '@oddside/core';
import type { Outline, PlanPoint } from './plan-outline.js';
import { addOutlines, marginOutline, mirrored, type TurnedOutline } from './turn-outlines.js';

/** What may lie in the rectangle: the turns of one pattern. */
export type Piece = readonly TurnedOutline[];

/** Where one piece lies. */
export interface LaidPiece {
  /** Index of the piece. */
  readonly piece: number;
  readonly turned: TurnedOutline;
  /** Corner of its box, mm. */
  readonly x: number;
  readonly y: number;
}

/** What {@link layInOrder} found. */
export interface Packing {
  readonly laid: readonly LaidPiece[];
  readonly left: readonly number[];
}

/** The rectangle; its length may be `Infinity`, for as short a lay-out as can be found. */
export interface Room {
  readonly length: number;
  readonly width: number;
}

/** From one end on, from one side up, or the corners first. */
export type LayingRule = 'along' | 'up' | 'corners';

type Score = readonly [number, number];
/** What is least where a piece goes, and what decides among equals. */
const RULES: Readonly<Record<LayingRule, (far: number, high: number, inward: number) => Score>> = Object.freeze({
  along: (far, high) => [far, high],
  up: (far, high) => [high, far],
  corners: (far, high, inward) => [inward, far + high],
});

/** Overlaps below this, mm, are rounding. */
const HAIR = 1e-7;

/**
 * Lays the pieces in one order.
 *
 * @param order Indices of the pieces, the first laid first.
 * @param rule Where of the free places each goes.
 */
export function* layInOrder(
  pieces: readonly Piece[],
  room: Room,
  margin: number,
  order: readonly number[],
  rule: LayingRule = 'along',
): Steps<Packing> {
  const round = marginOutline(margin);
  const laid: LaidPiece[] = [];
  const left: number[] = [];
  for (const [done, piece] of order.entries()) {
    let best: LaidPiece | undefined;
    let bestScore: Score = [Infinity, Infinity];
    for (const turned of pieces[piece]!) {
      const free: Room = { length: room.length - turned.length, width: room.width - turned.width };
      if (free.length < -HAIR || free.width < -HAIR) continue;
      const back = mirrored(turned.points);
      const keepOuts = laid.map((other) =>
        boxed(addOutlines(addOutlines(moved(other.turned.points, other.x, other.y), back), round)),
      );
      // Only places better than the best so far are worth asking whether they are free.
      cornersOfFree(keepOuts, free, (x, y) => {
        const [far, high] = [x + turned.length, y + turned.width];
        const score = RULES[rule](far, high, Math.min(x, free.length - x) + Math.min(y, free.width - y));
        if (score[0] > bestScore[0] + HAIR) return;
        if (score[0] > bestScore[0] - HAIR && score[1] > bestScore[1] - HAIR) return;
        if (keepOuts.some((keepOut) => inside(keepOut, x, y))) return;
        best = { piece, turned, x, y };
        bestScore = score;
      });
    }
    if (best) laid.push(best);
    else left.push(piece);
    yield (done + 1) / order.length;
  }
  return { laid, left };
}

const moved = (outline: Outline, x: number, y: number): Outline =>
  outline.map(([px, py]): PlanPoint => [px + x, py + y]);

/** Places where one outline may not start because another is laid, with their box. */
interface KeepOut {
  readonly outline: Outline;
  readonly low: PlanPoint;
  readonly high: PlanPoint;
}

function boxed(outline: Outline): KeepOut {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of outline) {
    x0 = Math.min(x0, x);
    y0 = Math.min(y0, y);
    x1 = Math.max(x1, x);
    y1 = Math.max(y1, y);
  }
  return { outline, low: [x0, y0], high: [x1, y1] };
}

type Offer = (x: number, y: number) => void;

/** Offers every place within the room where the free places may have a corner. */
function cornersOfFree(keepOuts: readonly KeepOut[], free: Room, offer: Offer): void {
  const [length, width] = [Math.max(0, free.length), Math.max(0, free.width)];
  const within: Offer = (x, y) => {
    if (x >= -HAIR && y >= -HAIR && x <= length + HAIR && y <= width + HAIR) offer(x, y);
  };
  const ends = Number.isFinite(length) ? [0, length] : [0];
  for (const x of ends) for (const y of [0, width]) offer(x, y);
  keepOuts.forEach(({ outline }, i) => {
    outline.forEach((a, k) => {
      const b = outline[(k + 1) % outline.length]!;
      within(a[0], a[1]);
      for (const x of ends) crossAt(a, b, 0, x, within);
      for (const y of [0, width]) crossAt(a, b, 1, y, within);
      for (let j = i + 1; j < keepOuts.length; j++) {
        const { low, high } = keepOuts[j]!;
        const beside = Math.max(a[0], b[0]) < low[0] || Math.min(a[0], b[0]) > high[0];
        const above = Math.max(a[1], b[1]) < low[1] || Math.min(a[1], b[1]) > high[1];
        if (!beside && !above) crossOutline(a, b, keepOuts[j]!.outline, within);
      }
    });
  });
}

/** Offers the point where a side crosses a line of the frame. */
function crossAt(a: PlanPoint, b: PlanPoint, axis: 0 | 1, at: number, offer: Offer): void {
  if (a[axis] > at === b[axis] > at) return;
  const t = (at - a[axis]) / (b[axis] - a[axis]);
  const across = a[1 - axis]! + t * (b[1 - axis]! - a[1 - axis]!);
  if (axis === 0) offer(at, across);
  else offer(across, at);
}

/** Offers the points where a side enters and leaves a convex outline. */
function crossOutline(a: PlanPoint, b: PlanPoint, outline: Outline, offer: Offer): void {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  let [from, to] = [0, 1];
  for (let k = 0; k < outline.length; k++) {
    const p = outline[k]!;
    const q = outline[(k + 1) % outline.length]!;
    const [ex, ey] = [q[0] - p[0], q[1] - p[1]];
    const start = ex * (a[1] - p[1]) - ey * (a[0] - p[0]);
    const rate = ex * dy - ey * dx;
    if (rate === 0) {
      if (start < 0) return;
      continue;
    }
    const t = -start / rate;
    if (rate > 0) from = Math.max(from, t);
    else to = Math.min(to, t);
    if (from > to) return;
  }
  for (const t of [from, to]) if (t > 0 && t < 1) offer(a[0] + t * dx, a[1] + t * dy);
}

/** Inside by more than rounding. A keep-out without area keeps nothing out. */
function inside({ outline, low, high }: KeepOut, x: number, y: number): boolean {
  if (x <= low[0] || x >= high[0] || y <= low[1] || y >= high[1]) return false;
  if (outline.length < 3) return false;
  for (let k = 0; k < outline.length; k++) {
    const p = outline[k]!;
    const q = outline[(k + 1) % outline.length]!;
    const [ex, ey] = [q[0] - p[0], q[1] - p[1]];
    if (ex * (y - p[1]) - ey * (x - p[0]) <= HAIR * Math.hypot(ex, ey)) return false;
  }
  return true;
}
