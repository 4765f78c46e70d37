/** Local search on the sphere of draws: look around in a shrinking ring and go where it is better. */
import {
  add,
  cross,
  dot,
  frameAcross,
  radians,
  scale as times,
  steadyCosine,
  steadySine,
  subtract,
  unitVector,
  type Vec3,
} from '@oddside/core';
import type { DrawRules } from './draw-rules.js';
import type { DrawToTry, DrawTrier } from './draw-trier.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** Draws in a ring. Six cover the circle without wasting casts on near twins. */
const RING = 6;
const ALL_SIDES: readonly number[] = [0, 1, 2, 3, 4, 5];
/** By how much of the way from side to side each narrower ring is turned against the last. */
const TURN = 0.381966;
/** The ring at which a search usually ends, degrees: finer than a pattern can be bedded by hand. */
export const NARROWEST_DEG = 0.2;
/** Moves allowed before the ring must shrink, so that a long flat valley cannot hold the search up. */
const MOST_MOVES = 24;

/** How one refinement looks around. */
export interface Refinement {
  /** First radius of the ring, degrees: the covering radius of the samples it started from. */
  readonly stepDeg: number;
  /** The search ends when the ring is this narrow, degrees. */
  readonly endDeg: number;
  /** Columns across the shadow. */
  readonly columns: number;
  /** False for draws that belong to another candidate already. */
  readonly free: (direction: Vec3) => boolean;
  /**
   * Where samples lead downhill from a draw, among those that are free: asked after every move, so that what was sampled is
   * not walked over again ring by ring. Default: nowhere.
   */
  readonly below?: (draw: TriedDraw, free: (direction: Vec3) => boolean) => DrawToTry | undefined;
}

/**
 * Refines one draw.
 *
 * @param tick Called between casts; may yield.
 * @returns The best draw found, never worse than the start as the finer columns see it. About 40–60 casts.
 */
export async function refineDraw(
  trier: DrawTrier,
  start: TriedDraw,
  search: Refinement,
  rules: DrawRules,
  tick: () => Promise<void>,
): Promise<TriedDraw> {
  const { stepDeg, endDeg, columns, free, below } = search;
  let [best] = await trier.tryAll([start], columns, rules, tick);
  let casts = start.casts + 1;
  let moves = 0;
  let frame = frameAcross(best.direction);
  let sides = ALL_SIDES;
  let phase = 0;
  for (let step = stepDeg; step > endDeg / 2;) {
    const ring = sides
      .map((side) => ({ side, direction: beside(best.direction, frame, step, side + phase) }))
      .filter(({ direction }) => free(direction));
    const asked: DrawToTry[] = ring.map(({ direction }) => ({ direction, from: 'even sampling' }));
    const tried = await trier.tryAll(asked, columns, rules, tick);
    casts += ring.length;
    const nearest = tried.reduce((a, b) => (drawOrder(b, a) < 0 ? b : a), best);
    if (nearest === best || moves === MOST_MOVES) {
      step /= 2;
      phase += TURN;
      sides = ALL_SIDES;
      continue;
    }
    moves++;
    // Three of the draws round the new one were tried round the old one, or are the old one: none of them is better.
    const { side } = ring[tried.indexOf(nearest)];
    sides = [side + RING - 1, side, side + 1];
    best = nearest;
    frame = carried(frame.u, best.direction);
    const lower = below?.(best, free);
    if (!lower) continue;
    const [there] = await trier.tryAll([lower], columns, rules, tick);
    casts++;
    if (drawOrder(there, best) >= 0) continue;
    best = there;
    frame = frameAcross(best.direction);
    sides = ALL_SIDES;
  }
  return { ...best, casts };
}

/** Two directions across a draw, square to each other. */
type Frame = ReturnType<typeof frameAcross>;

/** The draw at an angle beside another, on one of the sides of its frame. */
function beside(direction: Vec3, { u, v }: Frame, angleDeg: number, side: number): Vec3 {
  const angle = radians(angleDeg);
  const tilt = steadySine(angle) / steadyCosine(angle);
  const within = side % RING;
  const phase = (2 * Math.PI * (within > RING / 2 ? within - RING : within)) / RING;
  return unitVector(add(direction, add(times(u, tilt * steadyCosine(phase)), times(v, tilt * steadySine(phase)))));
}

/** A frame carried on to a draw near by, so that its sides point the same ways. */
function carried(u: Vec3, direction: Vec3): Frame {
  const along = unitVector(subtract(u, times(direction, dot(u, direction))));
  return { u: along, v: cross(direction, along) };
}
