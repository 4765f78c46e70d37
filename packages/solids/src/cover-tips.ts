/** Which cones need not hang because others hold them. */

/** A point of the frame from which a cone hangs. */
export type Tip = [number, number, number];

/** Does a tip hang inside the cone of another? */
function covers(of: Tip, tip: Tip, tangent: number, way: 1 | -1): boolean {
  const deep = way * (of[2] - tip[2]) * tangent;
  return deep >= 0 && Math.hypot(of[0] - tip[0], of[1] - tip[1]) <= deep;
}

/** Leaves out tips that hang inside the cone of another: the lower corners of a wall. Of equal ones the last stays. */
export function outermostTips(tips: readonly Tip[], tangent: number, way: 1 | -1): Tip[] {
  return tips.filter((tip, k) =>
    tips.every(
      (other, n) => n === k || !covers(other, tip, tangent, way) || (n < k && covers(tip, other, tangent, way)),
    ),
  );
}

/** Cells of the grid of tips along the farthest that a cone reaches. */
const CELLS = 4;

/**
 * Leaves out lists of tips all of which hang inside the cone of one tip of another list: then the hull of their cones does
 * as well. The highest are looked at first; what they cover goes, and what that would have covered they cover too.
 */
export function withoutCovered(lists: readonly Tip[][], tangent: number, way: 1 | -1): Tip[][] {
  const highest = (list: readonly Tip[]): number => list.reduce((most, tip) => Math.max(most, way * tip[2]), -Infinity);
  // At one height longer lists come first: a lone tip that is the end of an edge goes with it.
  const order = lists
    .map((tips, n) => ({ tips, n, top: highest(tips) }))
    .sort((a, b) => b.top - a.top || b.tips.length - a.tips.length);
  if (order.length === 0) return [];
  const low = lists.reduce((least, list) => list.reduce((z, tip) => Math.min(z, way * tip[2]), least), Infinity);
  const cell = Math.max(((order[0].top - low) * tangent) / CELLS, 1e-9 + 1e-9 * Math.abs(low));
  const kept = new Map<string, Tip[]>();
  const cellOf = (value: number): number => Math.floor(value / cell);
  const isCovered = (tips: readonly Tip[]): boolean => {
    const [x, y] = tips[0];
    const reach = Math.ceil(((order[0].top - way * tips[0][2]) * tangent) / cell);
    for (let i = cellOf(x) - reach; i <= cellOf(x) + reach; i++) {
      for (let j = cellOf(y) - reach; j <= cellOf(y) + reach; j++) {
        const near = kept.get(`${i} ${j}`);
        if (near?.some((other) => tips.every((tip) => covers(other, tip, tangent, way)))) return true;
      }
    }
    return false;
  };
  const stays = new Uint8Array(lists.length);
  for (const { tips, n } of order) {
    if (isCovered(tips)) continue;
    stays[n] = 1;
    for (const tip of tips) {
      const key = `${cellOf(tip[0])} ${cellOf(tip[1])}`;
      const there = kept.get(key);
      if (there) there.push(tip);
      else kept.set(key, [tip]);
    }
  }
  return lists.filter((_, n) => stays[n] === 1);
}
