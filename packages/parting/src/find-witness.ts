/**
 * A witness that a pattern does not draw: a point of sand with a ball of metal on either side. Along every draw that meets
 * both balls from that point the sand there is held, whatever the joint; those draws are the overlap of two caps of the
 * sphere (geometry of two-part moulds, dependence on direction). Where sand and balls are is checked on the mesh itself, so
 * a witness is a proof and can be looked at.
 */
import {
  angleBetweenDeg,
  degrees,
  drainSteps,
  scale,
  subtract,
  length,
  add,
  type Steps,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import type { ColumnField } from './column-field.js';
import { pointAt } from './lay-parting-loop.js';
import { listIntervals } from './list-intervals.js';
import { nearestOnSurface, windingAt } from './probe-surface.js';

/** A ball that lies wholly in metal, mm. */
export interface MetalBall {
  readonly centre: Vec3;
  readonly radius: number;
}

/** Sand held between two balls. */
export interface Witness {
  readonly sand: Vec3;
  readonly over: MetalBall;
  readonly under: MetalBall;
  /** Direction from the sand to the ball over it and half the angle under which it is seen, and the same for the other ball, turned over. */
  readonly towardsOver: Vec3;
  readonly overDeg: number;
  readonly towardsUnder: Vec3;
  readonly underDeg: number;
}

/** How far, degrees, a cap round a draw may reach and still be held by a witness; negative where the draw is not. */
export function heldRoundDeg(witness: Witness, direction: Vec3): number {
  return Math.min(
    witness.overDeg - angleBetweenDeg(direction, witness.towardsOver),
    witness.underDeg - angleBetweenDeg(direction, witness.towardsUnder),
  );
}

/** Gaps looked at on the mesh for each draw. */
const CANDIDATES = 8;
/** Where in a gap the sand is taken, shares of its height. */
const SHARES = [0.5, 0.3, 0.7, 0.12, 0.88];

/** A guess from the columns: heights from the field's origin. */
interface Guess {
  readonly column: number;
  readonly sand: number;
  readonly over: number;
  readonly under: number;
  /** How wide the balls may look at most, as a sine; and the least of gap and thicknesses, mm. */
  readonly score: number;
  readonly room: number;
}

/** What a look for a witness found. */
export interface WitnessFound {
  /** `null` where none holds the draw itself. */
  readonly witness: Witness | null;
  /** Gaps that the columns show. */
  readonly gaps: number;
}

/**
 * Looks for the witness that holds the widest cap round a draw.
 *
 * @returns The best one found and the number of gaps the columns show. Cost: a cast and some hundred looks at every triangle.
 */
export function findWitness(pattern: Pattern, direction: Vec3, columns: number, scratch: CastScratch): WitnessFound {
  return drainSteps(witnessSteps(pattern, direction, columns, scratch));
}

/** The same in small pieces of work: a dozen looks at every triangle each. */
export function* witnessSteps(
  pattern: Pattern,
  direction: Vec3,
  columns: number,
  scratch: CastScratch,
): Steps<WitnessFound> {
  const field = castColumns(pattern, direction, columns, scratch);
  yield 0.1;
  const { guesses, gaps } = guessWitnesses(pattern, field);
  let best: Witness | null = null;
  for (const [i, guess] of guesses.entries()) {
    yield 0.1 + (0.9 * i) / guesses.length;
    const [pu, pv] = [
      field.u0 + (guess.column % field.nu) * field.column,
      field.v0 + Math.floor(guess.column / field.nu) * field.column,
    ];
    const sand = pointAt(field, pu, pv, guess.sand);
    const over = growBall(pattern, pointAt(field, pu, pv, guess.over), sand, field.direction);
    yield 0.1 + (0.9 * (i + 0.3)) / guesses.length;
    const under = growBall(pattern, pointAt(field, pu, pv, guess.under), sand, scale(field.direction, -1));
    if (!over || !under) continue;
    const witness = makeWitness(sand, over, under);
    const held = heldRoundDeg(witness, field.direction);
    if (held <= 0 || (best && held <= heldRoundDeg(best, field.direction))) continue;
    yield 0.1 + (0.9 * (i + 0.6)) / guesses.length;
    if (windingAt(pattern, sand) !== 0 || windingAt(pattern, over.centre) < 1 || windingAt(pattern, under.centre) < 1) {
      continue;
    }
    best = witness;
  }
  return { witness: best, gaps };
}

function makeWitness(sand: Vec3, over: MetalBall, under: MetalBall): Witness {
  const up = subtract(over.centre, sand);
  const down = subtract(sand, under.centre);
  return {
    sand,
    over,
    under,
    towardsOver: up,
    overDeg: degrees(Math.asin(Math.min(1, over.radius / length(up)))),
    towardsUnder: down,
    underDeg: degrees(Math.asin(Math.min(1, under.radius / length(down)))),
  };
}

/** The most promising gaps by the columns alone, spread over the shadow. */
function guessWitnesses(pattern: Pattern, field: ColumnField): { guesses: Guess[]; gaps: number } {
  const { starts, lows, highs } = listIntervals(pattern, field);
  const guesses: Guess[] = [];
  let gaps = 0;
  for (let c = 0; c + 1 < starts.length; c++) {
    for (let i = starts[c]; i + 1 < starts[c + 1]; i++) {
      const gap = lows[i + 1] - highs[i];
      if (!(gap > 1e-6 * field.column)) continue;
      gaps++;
      const [tallOver, tallUnder] = [highs[i + 1] - lows[i + 1], highs[i] - lows[i]];
      for (const share of SHARES) {
        const sand = highs[i] + share * gap;
        const over = lows[i + 1] + tallOver / 2;
        const under = highs[i] - tallUnder / 2;
        const score = Math.min(tallOver / 2 / (over - sand), tallUnder / 2 / (sand - under));
        guesses.push({ column: c, sand, over, under, score, room: Math.min(gap, tallOver, tallUnder) });
      }
    }
  }
  // By how wide the balls may look, and by how much room there is: beside a wall seen at a slant the first promises what
  // the second shows to be a sliver.
  const orders = [(guess: Guess): number => guess.score, (guess: Guess): number => guess.score * guess.room];
  const picked: Guess[] = [];
  for (const worth of orders) {
    const sorted = [...guesses].sort((a, b) => worth(b) - worth(a) || a.column - b.column || a.sand - b.sand);
    let taken = 0;
    for (const guess of sorted) {
      if (taken === CANDIDATES) break;
      if (picked.some((other) => beside(guess.column, other.column, field))) continue;
      picked.push(guess);
      taken++;
    }
  }
  return { guesses: picked, gaps };
}

/** Columns near each other tell the same story: a twelfth of the shadow is kept between candidates. */
function beside(a: number, b: number, { nu, nv }: ColumnField): boolean {
  const apart = Math.max(2, Math.max(nu, nv) / 12);
  return Math.abs((a % nu) - (b % nu)) < apart && Math.abs(Math.floor(a / nu) - Math.floor(b / nu)) < apart;
}

/** Grows a ball from a place in metal: moved off the nearest surface as long as that widens what it holds. */
function growBall(pattern: Pattern, start: Vec3, sand: Vec3, direction: Vec3): MetalBall | null {
  let centre = start;
  let near = nearestOnSurface(pattern, centre);
  const heldBy = (at: Vec3, radius: number): number => {
    const way = subtract(at, sand);
    return degrees(Math.asin(Math.min(1, radius / length(way)))) - angleBetweenDeg(way, direction);
  };
  let held = heldBy(centre, near.distance);
  let step = 0.7;
  for (let round = 0; round < 8 && near.distance > 0; round++) {
    const away = scale(subtract(centre, near.point), step);
    const moved = add(centre, away);
    const next = nearestOnSurface(pattern, moved);
    const wider = heldBy(moved, next.distance);
    if (wider > held && next.distance > near.distance) {
      centre = moved;
      near = next;
      held = wider;
    } else {
      step /= 2;
    }
  }
  // A hair less than measured, so that rounding cannot make the ball touch the surface.
  const radius = near.distance * (1 - 1e-9);
  return radius > 0 ? { centre, radius } : null;
}
