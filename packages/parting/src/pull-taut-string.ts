/**
 * The flattest line in a corridor. A string laid between a lower and an upper bound and pulled taut is at once the
 * shortest, the least steep and the one that rises least; no weighing of these against each other is needed. On a closed
 * loop the same holds (geometry of two-part moulds, parting line; taut strings, derived there).
 */

/**
 * Pulls a closed string taut.
 *
 * @param along Distance along the loop of each point, rising from 0, mm.
 * @param total Length of the whole loop.
 * @param low @param high Bounds at each point; `low ≤ high`.
 * @param wanted Height to lie at where the string is free to lie flat.
 * @returns Heights at the points. Flat where a flat line fits. Cost: O(n), at worst O(n × bends).
 */
export function pullTautLoop(
  along: Float64Array,
  total: number,
  low: Float64Array,
  high: Float64Array,
  wanted: number,
): Float64Array {
  const n = along.length;
  let peak = 0;
  let pit = 0;
  for (let i = 1; i < n; i++) {
    if (low[i] > low[peak]) peak = i;
    if (high[i] < high[pit]) pit = i;
  }
  if (low[peak] <= high[pit]) return new Float64Array(n).fill(Math.min(high[pit], Math.max(low[peak], wanted)));
  // No flat line fits: the string must climb to the highest lower bound and never needs to go above it, so it touches
  // there, and the loop can be opened at that point.
  const s = new Float64Array(n + 1);
  const lows = new Float64Array(n + 1);
  const highs = new Float64Array(n + 1);
  for (let i = 0; i <= n; i++) {
    const k = (peak + i) % n;
    s[i] = along[k] - along[peak] + (peak + i >= n ? total : 0);
    lows[i] = low[k];
    highs[i] = high[k];
  }
  lows[n] = highs[n] = highs[0] = lows[0];
  const open = pullTautString(s, lows, highs);
  const heights = new Float64Array(n);
  for (let i = 0; i < n; i++) heights[(peak + i) % n] = open[i];
  return heights;
}

/** Pulls an open string taut between fixed ends (`low` equals `high` at the first and the last point). */
export function pullTautString(s: Float64Array, low: Float64Array, high: Float64Array): Float64Array {
  const n = s.length - 1;
  const heights = new Float64Array(n + 1);
  heights[0] = low[0];
  let apex = 0;
  while (apex < n) {
    const y = heights[apex];
    let most = Infinity;
    let least = -Infinity;
    let upper = apex + 1;
    let lower = apex + 1;
    let bend = n;
    let end = low[n];
    for (let i = apex + 1; i <= n; i++) {
      const ds = Math.max(s[i] - s[apex], 1e-300);
      const a = (low[i] - y) / ds;
      const b = (high[i] - y) / ds;
      if (a > most) {
        bend = upper;
        end = high[upper];
        break;
      }
      if (b < least) {
        bend = lower;
        end = low[lower];
        break;
      }
      if (a >= least) {
        least = a;
        lower = i;
      }
      if (b <= most) {
        most = b;
        upper = i;
      }
    }
    const run = s[bend] - s[apex];
    for (let i = apex + 1; i < bend; i++) heights[i] = y + ((end - y) * (s[i] - s[apex])) / run;
    heights[bend] = end;
    apex = bend;
  }
  return heights;
}
