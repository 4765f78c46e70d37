/** Downhill over draws that were sampled, from each to the best of its neighbours: no cast is needed. */
import type { Vec3 } from '@oddside/core';
import type { DrawToTry } from './draw-trier.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** Hops at most: more than lead across the half sphere. */
const MOST_HOPS = 100;

/** Walks down over draws that were tried. */
export class SampleWalk {
  readonly #tried: readonly TriedDraw[];
  readonly #near: number;
  readonly #places: Float64Array;

  /** @param near Cosine of the angle within which draws are neighbours. */
  constructor(tried: readonly TriedDraw[], near: number) {
    this.#tried = tried;
    this.#near = near;
    this.#places = new Float64Array(3 * tried.length);
    for (const [i, { direction }] of tried.entries()) this.#places.set(direction, 3 * i);
  }

  /**
   * Walks down from a draw over those that are free.
   *
   * @returns The end of the walk; `undefined` where no neighbour is better. Cost: one look at every sample a hop.
   */
  below(from: TriedDraw, free: (direction: Vec3) => boolean): DrawToTry | undefined {
    let here = from;
    for (let hop = 0; hop < MOST_HOPS; hop++) {
      const next = this.#bestBeside(here, free);
      if (next === here) break;
      here = next;
    }
    return here === from ? undefined : { direction: here.direction, from: here.from };
  }

  /** The best of a draw and its neighbours that are free. */
  #bestBeside(here: TriedDraw, free: (direction: Vec3) => boolean): TriedDraw {
    let best = here;
    for (const draw of this.#betterBeside(here)) {
      if (drawOrder(draw, best) < 0 && free(draw.direction)) best = draw;
    }
    return best;
  }

  /** The few neighbours that are better, in their order. */
  #betterBeside(here: TriedDraw): TriedDraw[] {
    const [tried, near, places] = [this.#tried, this.#near, this.#places];
    const [x, y, z] = here.direction;
    const better: TriedDraw[] = [];
    for (let i = 0, k = 0; i < tried.length; i++, k += 3) {
      if (Math.abs(places[k] * x + places[k + 1] * y + places[k + 2] * z) <= near) continue;
      if (drawOrder(tried[i], here) < 0) better.push(tried[i]);
    }
    return better;
  }
}
