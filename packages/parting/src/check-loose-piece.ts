/**
 * Can the metal over or under held sand be a loose piece? It is pinned to the pattern, stays in the sand when the rest is
 * drawn, and then has to slide sideways, clear of the held sand, into the room the rest left behind (geometry of two-part
 * moulds, loose pieces). The slide is tried column by column in every direction round the draw.
 */
import { drainSteps, type Steps, type Vec3 } from '@oddside/core';
import type { HeldField } from './find-held-regions.js';

/** A slide that works. */
export interface LooseSlide {
  /** The metal under the held sand, left in the drag, or over it, left in the cope. */
  readonly piece: 'under' | 'over';
  /** Way it slides, square to the draw, unit vector, and how far until it is clear, mm. */
  readonly direction: Vec3;
  readonly distance: number;
  /** Size of the piece, mm³. */
  readonly pieceMm3: number;
}

/** Directions tried round the draw. */
const WAYS = 120;
/** Clearance asked for nowhere, misfit of heights allowed, columns: floors that slope less than this over a column. */
const SLACK = 0.5;

/** The piece over each column of a region: heights from the field's origin. */
interface Piece {
  readonly columns: readonly number[];
  readonly low: Float64Array;
  readonly high: Float64Array;
  readonly inside: Uint8Array;
}

/**
 * Finds the shortest slide for a region, or `null`. Cost: up to 130 × region's columns × its width in columns, rarely near it.
 *
 * @param pieces On which sides of the held sand a piece may be. Default both.
 */
export function checkLoosePiece(
  held: HeldField,
  region: number,
  pieces: readonly ('under' | 'over')[] = ['under', 'over'],
): LooseSlide | null {
  return drainSteps(loosePieceSteps(held, region, pieces));
}

/** {@link checkLoosePiece} in pieces of a few ms. */
export function* loosePieceSteps(
  held: HeldField,
  region: number,
  pieces: readonly ('under' | 'over')[] = ['under', 'over'],
): Steps<LooseSlide | null> {
  const { u, v, column } = held.field;
  let best: LooseSlide | null = null;
  for (const [i, piece] of pieces.entries()) {
    const shape = pieceOf(held, region, piece);
    if (!shape) continue;
    const ways = waysToTry(held);
    for (const [k, [wayU, wayV]] of ways.entries()) {
      yield (i + k / ways.length) / pieces.length;
      const most: number = best ? Math.ceil(best.distance / column) - 1 : Infinity;
      const steps: number | null = yield* slideOut(held, shape, piece, wayU, wayV, most);
      if (steps === null) continue;
      const direction = [0, 1, 2].map((k) => wayU * u[k] + wayV * v[k]) as unknown as Vec3;
      const tall = shape.columns.reduce((sum, c) => sum + shape.high[c] - shape.low[c], 0);
      best = { piece, direction, distance: steps * column, pieceMm3: tall * column * column };
    }
  }
  return best;
}

/** The file's own axes first, as they lie across the draw: a modelled pattern slides along one. Then all round. */
function waysToTry(held: HeldField): [number, number][] {
  const { u, v } = held.field;
  const ways: [number, number][] = [];
  for (let axis = 0; axis < 3; axis++) {
    const size = Math.hypot(u[axis], v[axis]);
    if (size < 1e-3) continue;
    ways.push([u[axis] / size, v[axis] / size], [-u[axis] / size, -v[axis] / size]);
  }
  for (let way = 0; way < WAYS; way++) {
    const turn = (2 * Math.PI * way) / WAYS;
    ways.push([Math.cos(turn), Math.sin(turn)]);
  }
  return ways;
}

/** The metal on one side of a region; `null` where a column has a second gap on that side, which would hold it too. */
function pieceOf(held: HeldField, region: number, side: 'under' | 'over'): Piece | null {
  const { intervals, gapColumn, gapLow, gapHigh, gapRegion, field } = held;
  const { starts, lows, highs } = intervals;
  const size = field.nu * field.nv;
  const low = new Float64Array(size);
  const high = new Float64Array(size);
  const inside = new Uint8Array(size);
  const columns: number[] = [];
  for (let g = 0; g < gapColumn.length; g++) {
    if (gapRegion[g] !== region) continue;
    const c = gapColumn[g];
    const [first, last] = [starts[c], starts[c + 1] - 1];
    if (side === 'under') {
      if (highs[first] !== gapLow[g]) return null;
      [low[c], high[c]] = [lows[first], highs[first]];
    } else {
      if (lows[last] !== gapHigh[g]) return null;
      [low[c], high[c]] = [lows[last], highs[last]];
    }
    inside[c] = 1;
    columns.push(c);
  }
  return { columns, low, high, inside };
}

/** Columns of the piece looked at between two yields: a few ms of work. */
const AT_A_TIME = 50_000;

/**
 * Steps of a column until the piece is clear of its own place and nothing stands in its way out along the draw, or `null`
 * where it strikes sand on the way.
 */
function* slideOut(
  held: HeldField,
  piece: Piece,
  side: 'under' | 'over',
  wayU: number,
  wayV: number,
  most: number,
): Steps<number | null> {
  const { nu, nv } = held.field;
  let work = 0;
  for (let step = 1; step < nu + nv && step <= most; step++) {
    let clear = true;
    for (const c of piece.columns) {
      const x = Math.round((c % nu) + step * wayU);
      const y = Math.round(Math.floor(c / nu) + step * wayV);
      if (!hasRoom(held, piece, side, c, x, y)) return null;
      if (x >= 0 && y >= 0 && x < nu && y < nv && piece.inside[y * nu + x]) clear = false;
      clear &&= leavesThere(held, x, y);
      if (++work % AT_A_TIME === 0) yield 0;
    }
    if (clear) return step;
  }
  return null;
}

/** Does no sand stand between a place, or one beside it, and the half that is drawn? A gap over the piece would hold it. */
function leavesThere(held: HeldField, x: number, y: number): boolean {
  const { nu, nv } = held.field;
  const { starts } = held.intervals;
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) {
      const [cx, cy] = [x + dx, y + dy];
      if (cx < 0 || cy < 0 || cx >= nu || cy >= nv) continue;
      const to = cy * nu + cx;
      if (starts[to + 1] - starts[to] === 1) return true;
    }
  }
  return false;
}

/**
 * Is there room at a column, or at one beside it, for the piece over column `c`? One beside it will do, because the slide
 * is rounded to whole columns and would else strike the walls it slides along.
 */
function hasRoom(held: HeldField, piece: Piece, side: 'under' | 'over', c: number, x: number, y: number): boolean {
  const { nu, nv } = held.field;
  if (isRoom(held, piece, side, c, x, y, nu, nv)) return true;
  for (let dy = -1; dy <= 1; dy++) {
    for (let dx = -1; dx <= 1; dx++) if (isRoom(held, piece, side, c, x + dx, y + dy, nu, nv)) return true;
  }
  return false;
}

function isRoom(
  held: HeldField,
  piece: Piece,
  side: 'under' | 'over',
  c: number,
  x: number,
  y: number,
  nu: number,
  nv: number,
): boolean {
  if (x < 0 || y < 0 || x >= nu || y >= nv) return false;
  const { starts, lows, highs } = held.intervals;
  const slack = SLACK * held.field.column;
  const to = y * nu + x;
  const first = starts[to];
  const last = starts[to + 1] - 1;
  if (last < first) return false;
  if (piece.inside[to]) return piece.low[c] >= piece.low[to] - slack && piece.high[c] <= piece.high[to] + slack;
  // The rest of the pattern left its own room and, drawn the piece's way, all beyond it; a gap there still holds sand.
  const floor = side === 'under' ? lows[first] : first === last ? -Infinity : lows[last];
  const roof = side === 'over' ? highs[last] : first === last ? Infinity : highs[first];
  return piece.low[c] >= floor - slack && piece.high[c] <= roof + slack;
}
