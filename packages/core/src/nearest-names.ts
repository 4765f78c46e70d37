/** Suggestions for a mistyped name. */

/** Levenshtein distance, the usual two-row form; case is ignored. Cost O(a·b). */
function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      const swap = previous[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      current[j] = Math.min(swap, previous[j]! + 1, current[j - 1]! + 1);
    }
    previous = current;
  }
  return previous[b.length]!;
}

/**
 * The known names closest to what was typed, nearest first. A name that contains the typed text counts as near.
 *
 * @param typed What came; only its first 64 characters are compared.
 * @param count How many to return at most. Default 3.
 */
export function nearestNames(typed: string, known: readonly string[], count = 3): string[] {
  const wanted = typed.slice(0, 64).toLowerCase();
  return known
    .map((name, index) => {
      const lower = name.toLowerCase();
      const part = wanted.length > 1 && (lower.includes(wanted) || wanted.includes(lower));
      return { name, index, far: editDistance(wanted, lower) - (part ? 100 : 0) };
    })
    .sort((a, b) => a.far - b.far || a.index - b.index)
    .slice(0, count)
    .map((entry) => entry.name);
}
