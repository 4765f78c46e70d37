/** Seeded randomness: the same seed gives the same numbers on every machine. */
import type { Point } from './mesh.js';

/** Numbers in [0, 1) by mulberry32. */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

/** A direction spread evenly over the sphere. */
export function randomDirection(random: () => number): Point {
  const z = 2 * random() - 1;
  const turn = 2 * Math.PI * random();
  const across = Math.sqrt(1 - z * z);
  return [across * Math.cos(turn), across * Math.sin(turn), z];
}

/** A turn about a random axis, for {@link rotate}. */
export function randomRotation(seed: number): { readonly axis: Point; readonly deg: number } {
  const random = seededRandom(seed);
  return { axis: randomDirection(random), deg: 360 * random() };
}
