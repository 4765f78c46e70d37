/** Downhill over draws that were sampled, from each to the best of its neighbours: no cast is needed. */
import type { Vec3 } from '@oddside/core';
import type { DrawToTry } from './draw-trier.js';
import { drawOrder, type TriedDraw } from './try-draw.js';

/** Hops at most: more than lead across the half sphere. */
const MOST_HOPS = 100;

/**
 * Makes what walks down.
 *
 * @param near Cosine of the angle within which draws are neighbours.
 * @returns For a draw and a test of which draws are free, the end of the walk; `undefined` where no neighbour is better. Cost:
 *   one look at every sample a hop.
 */
export function walkOver(
  tried: readonly TriedDraw[],
  near: number,
): (from: TriedDraw, free: (direction: Vec3) => boolean) => DrawToTry | undefined {
  const places = new Float64Array(3 * tried.length);
  for (const [i, { direction }] of tried.entries()) places.set(direction, 3 * i);
  return (from, free) => {
    let here = from;
    for (let hop = 0; hop < MOST_HOPS; hop++) {
      const [x, y, z] = here.direction;
      let next = here;
      for (let i = 0, k = 0; i < tried.length; i++, k += 3) {
        if (Math.abs(places[k] * x + places[k + 1] * y + places[k + 2] * z) <= near) continue;
        if (drawOrder(tried[i], next) < 0 && free(tried[i].direction)) next = tried[i];
      }
      if (next === here) break;
      here = next;
    }
    return here === from ? undefined : { direction: here.direction, from: here.from };
  };
}
