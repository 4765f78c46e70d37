/** Long passes in short stretches. */

/** How much is gone through at a time. */
const STRETCH = 2048;

/**
 * Calls `each` for one stretch after another, from 0 up to `count`. A pass that is made once a pattern is better made so, its
 * loop in a function of a module that `each` calls: asked for often, that is soon compiled and stays so, where one long
 * loop is interpreted until it is compiled in its midst and what was compiled is thrown away at its end.
 */
export function forEachStretch(count: number, each: (from: number, to: number) => void): void {
  for (let from = 0; from < count; from += STRETCH) each(from, Math.min(count, from + STRETCH));
}
