/** One loose piece cut from the pattern: the metal that holds a trapped place, with a seat and a proven slide. */
import { dot, type Vec3 } from '@oddside/core';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import type { PreparedDraw } from './prepare-draw.js';
import { proveSlide, type SlideProof } from './prove-loose-draw.js';
import type { ProposedSlide } from './find-slides.js';
import {
  seatOnDovetail,
  seatOnPins,
  surroundings,
  type PlacedPin,
  type SeatedPiece,
  type SeatWish,
} from './seat-piece.js';
import { reachAlong } from './solid-mesh.js';
import { DOWN, UP, drawAhead, sweepBody } from './sweep-body.js';
import { partsOf, spanOf, type TrappedSide } from './trapped-places.js';
import { levelWay, wallWays } from './wall-ways.js';

/** How a piece sits: see seat-piece.ts. */
export type SeatKind = 'pin' | 'dovetail' | 'none';

/** A piece in the frame. */
export interface CutPiece {
  /** Without holes for pins: no sand ever comes into those. */
  readonly piece: Body;
  /** The pattern without it, with a slot for its tongue. */
  readonly main: Body;
  /** 1: it stays in the drag and is drawn upward; -1: in the cope, downward. */
  readonly lift: 1 | -1;
  readonly way: Vec3;
  readonly distance: number;
  readonly seat: SeatKind;
  readonly pins: readonly PlacedPin[];
  readonly freesMm3: number;
  readonly proof: SlideProof;
}

export interface CutWish extends SeatWish {
  readonly seat: SeatKind;
}

/** Shares of a slide at which a piece is first looked at. */
const STOPS: readonly number[] = Object.freeze([1, 0.5, 0.25]);
/** Slides that differ by less count as equal, mm. */
const SAME = 1e-4;
/** Cosine of the angle within which a wall's way is tried before the way that columns propose: 15°, five of their steps. */
const NEAR = Math.cos(Math.PI / 12);
/** Sand scraped over this share of the piece is no rubbing but a wall: the slide is refused. */
const MOST_SCRAPED = 0.02;

/**
 * Cuts a piece and proves its slide. `null` where no slide is free.
 *
 * @param body What is left of the pattern after the pieces cut before.
 * @param proposed What columns propose, `null` where they find nothing; the ways that the place's walls look are tried too.
 */
export function cutPiece(
  scope: Scope,
  draw: PreparedDraw,
  body: Body,
  place: Body,
  proposed: ProposedSlide | null,
  side: Pick<TrappedSide, 'piece' | 'room'>,
  jointed: boolean,
  wish: CutWish,
): CutPiece | null {
  const lift = side.piece === 'under' ? 1 : -1;
  const cut = divide(scope, draw, body, place, lift);
  if (!cut) return null;
  const room = jointed ? side.room : roomAfter(scope, draw, side.room, cut.main, lift);
  let best: CutPiece | null = null;
  const prove = (piece: Body, way: Vec3, distance: number): SlideProof | null => {
    if (strikes(scope, piece, way, distance, room, MOST_SCRAPED * piece.volume())) return null;
    const proof = proveSlide(scope, draw.frame, { body: piece, way, distance }, room, [], lift * travelOf(draw));
    const torn = proof.scrapedMm3 + proof.tornMm3;
    return torn > MOST_SCRAPED * piece.volume() ? null : proof;
  };
  let least = Infinity;
  for (const way of waysOf(draw, place, proposed)) {
    for (const { distance, cost } of distancesOf(way, place, cut.piece, proposed, wish.clearance)) {
      if (best?.proof.draws && cost >= least - SAME) continue;
      const proof = prove(cut.piece, way, distance);
      if (!proof || (best && !proof.draws && proof.scrapedMm3 >= best.proof.scrapedMm3)) continue;
      best = { ...cut, lift, way, distance, seat: 'none', pins: [], freesMm3: place.volume(), proof };
      least = cost;
    }
  }
  if (!best) return null;
  for (const seat of seatsToTry(wish.seat)) {
    const seated = seatFor(scope, draw, body, cut, { way: best.way, lift, seat }, wish);
    const proof = seated && (seated.pins.length > 0 ? best.proof : prove(seated.piece, best.way, best.distance));
    if (seated && proof) return { ...best, ...seated, seat, proof };
  }
  return best;
}

/** A quick no: what lies in sand at a few stops is at most what is scraped on the whole way, and needs no sweep. */
function strikes(scope: Scope, piece: Body, way: Vec3, distance: number, room: Body, most: number): boolean {
  return STOPS.some((share) => {
    const moved = scope.move(piece, [share * distance * way[0], share * distance * way[1], 0]);
    const inSand = scope.cut(moved, room);
    const volume = inSand.volume();
    scope.free(moved);
    scope.free(inSand);
    return volume > most;
  });
}

/** Ways to slide, likeliest first: those the place's walls look, and back, near the way that columns propose; that; the rest. */
function waysOf(draw: PreparedDraw, place: Body, proposed: ProposedSlide | null): Vec3[] {
  const walls = waysBothWays(wallWays(place));
  if (!proposed) return walls;
  const { direction } = proposed.slide;
  const { u, v } = draw.frame;
  const way = levelWay(dot(direction, u), dot(direction, v));
  const near = (wall: Vec3): boolean => dot(wall, way) > NEAR;
  return [...walls.filter(near), way, ...walls.filter((wall) => !near(wall))];
}

/** A wall may be slanted where the metal is and upright only where the sand is open: its way is then tried backwards. */
function waysBothWays(ways: readonly Vec3[]): Vec3[] {
  const back = ways.map(([x, y]): Vec3 => [0 - x, 0 - y, 0]);
  const all = [...ways, ...back];
  return all.filter((way, n) => all.findIndex((other) => dot(other, way) > 1 - 1e-9) === n);
}

/** A distance to slide, mm, and what it counts as when the shortest is sought. */
interface Distance {
  readonly distance: number;
  readonly cost: number;
}

/** Distances to try: what the place or the piece is wide along the way, with clearance and without; and what columns propose. */
function distancesOf(
  way: Vec3,
  place: Body,
  piece: Body,
  proposed: ProposedSlide | null,
  clearance: number,
): Distance[] {
  const wide = (of: Body): Distance[] => {
    const [low, high] = reachAlong(of, way);
    // A slide without clearance is asked for only where there is no room for more.
    return [
      { distance: high - low + clearance, cost: high - low },
      { distance: high - low, cost: high - low + 2 * clearance },
    ];
  };
  if (!proposed) return [...wide(place), ...wide(piece)];
  const { slide, column } = proposed;
  const columns = [1, 2].map((n) => slide.distance + n * column).map((distance) => ({ distance, cost: distance }));
  return [...wide(place), ...columns, ...wide(piece)];
}

/** The seat asked for, then the other, then none. */
function seatsToTry(seat: SeatKind): SeatKind[] {
  if (seat === 'none') return ['none'];
  return seat === 'pin' ? ['pin', 'dovetail', 'none'] : ['dovetail', 'pin', 'none'];
}

/** How far pieces are drawn to be out of the sand, mm. */
export const travelOf = ({ mesh: { box } }: Pick<PreparedDraw, 'mesh'>): number => 1.5 * (box.max[2] - box.min[2]);

/** The room, and what the rest of the pattern swept free when it was drawn. */
export function roomAfter(scope: Scope, draw: PreparedDraw, room: Body, main: Body, lift: 1 | -1): Body {
  return scope.unite([room, sweepBody(scope, main, lift > 0 ? UP : DOWN, 2 * travelOf(draw))]);
}

interface Divided {
  readonly piece: Body;
  readonly main: Body;
}

/** The pattern under (or over) a place is the piece. What then hangs on nothing goes with it. */
function divide(scope: Scope, draw: PreparedDraw, body: Body, place: Body, lift: 1 | -1): Divided | null {
  const prism = drawAhead(scope, place, lift > 0 ? DOWN : UP, travelOf(draw));
  if (!prism) return null;
  const piece = nearest(scope, draw, scope.meet(body, prism), place, lift);
  if (!piece) return null;
  const rest = scope.cut(body, piece);
  if (rest.isEmpty()) return null;
  if (partsOf(scope, body, draw.errorMm3).length > 1) return { piece, main: rest };
  const [main, ...loose] = partsOf(scope, rest, draw.errorMm3);
  return loose.length === 0 ? { piece, main: rest } : { piece: scope.unite([piece, ...loose]), main };
}

/** Of the metal under (or over) a place, what lies against it: metal beyond another gap holds sand of its own. */
function nearest(scope: Scope, draw: PreparedDraw, metal: Body, place: Body, lift: 1 | -1): Body | null {
  const parts = partsOf(scope, metal, draw.errorMm3);
  if (parts.length <= 1) return parts[0] ?? null;
  const touch = drawAhead(scope, place, lift > 0 ? DOWN : UP, 0.001 * spanOf(draw))!;
  const touching = parts.filter((part) => scope.meet(part, touch).volume() > 0);
  return touching.length > 0 ? scope.unite(touching) : null;
}

function seatFor(
  scope: Scope,
  draw: PreparedDraw,
  body: Body,
  { piece, main }: Divided,
  { way, lift, seat }: Pick<CutPiece, 'way' | 'lift' | 'seat'>,
  wish: CutWish,
): SeatedPiece | null {
  switch (seat) {
    case 'none':
      return { piece, main, pins: [] };
    case 'dovetail':
      return seatOnDovetail(scope, piece, main, way, lift, wish);
    case 'pin':
      return seatOnPins(scope, piece, main, surroundings(scope, body, piece, 0.25 * spanOf(draw)), way, wish);
  }
}
