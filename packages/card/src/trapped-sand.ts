/** Sand that a joint traps, seen in an upright cut: strips of it between metal, or between metal and the joint. */

/** One strip of sand, mm. */
export interface SandStrip {
  readonly left: number;
  readonly right: number;
  readonly low: number;
  readonly high: number;
}

/** Sand trapped in a cut. */
export interface TrappedSand {
  /** Between metal and metal: no joint frees it. */
  readonly held: readonly SandStrip[];
  /** Between metal and the joint: another joint could. */
  readonly missed: readonly SandStrip[];
}

/**
 * Finds the trapped sand of a cut, strip by strip. Over a joint sand must leave upwards, under it downwards; what meets
 * metal on that way is trapped.
 *
 * @param loops Outlines of the metal, x y z of each point in turn; only x and z are used.
 * @param profile Heights of the joint at evenly spaced places from `left` to `right`.
 */
export function trappedSand(
  loops: readonly { readonly points: ArrayLike<number> }[],
  profile: ArrayLike<number>,
  left: number,
  right: number,
): TrappedSand {
  const held: SandStrip[] = [];
  const missed: SandStrip[] = [];
  const width = (right - left) / (profile.length - 1);
  for (let i = 0; i + 1 < profile.length; i++) {
    const from = left + i * width;
    const strip = (low: number, high: number): SandStrip => ({ left: from, right: from + width, low, high });
    const ends = crossings(loops, from + width / 2);
    if (ends.length < 2) continue;
    for (let k = 1; k + 1 < ends.length; k += 2) held.push(strip(ends[k], ends[k + 1]));
    const joint = (profile[i] + profile[i + 1]) / 2;
    const [low, high] = [ends[0], ends[ends.length - 1]];
    if (joint < low) missed.push(strip(joint, low));
    if (joint > high) missed.push(strip(high, joint));
  }
  return { held, missed };
}

/** Heights at which an upright line enters and leaves the metal, rising. */
function crossings(loops: readonly { readonly points: ArrayLike<number> }[], x: number): number[] {
  const heights: number[] = [];
  for (const { points } of loops) {
    for (let i = 0; i < points.length; i += 3) {
      const j = (i + 3) % points.length;
      const [ax, bx] = [points[i], points[j]];
      // Each end belongs to one side, so that a corner on the line counts once.
      if (ax < x === bx < x) continue;
      heights.push(points[i + 2] + ((x - ax) / (bx - ax)) * (points[j + 2] - points[i + 2]));
    }
  }
  return heights.sort((a, b) => a - b);
}
