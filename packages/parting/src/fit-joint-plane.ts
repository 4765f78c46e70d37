/**
 * Does one plane, square to the draw or tilted, pass through the corridor all the way round? The largest distance by which
 * a plane misses a corridor is convex in its height and its two slopes (a linear program in three unknowns). For given
 * slopes the best height is known at once, which leaves two unknowns; those are found by golden section, one within the
 * other, to the last digits that matter.
 */

/** The best plane through a corridor: height = `height + slopeU · u + slopeV · v`. */
export interface JointPlane {
  readonly height: number;
  readonly slopeU: number;
  readonly slopeV: number;
  /** How far it misses the corridor at worst, mm; 0 or less where it fits (then it is how far it could be moved). */
  readonly miss: number;
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;
/** Steps of golden section: the slope is found to 1e-9. */
const STEPS = 44;

/** Rounds of adding points at most; each adds one of each bound, and a dozen are enough for a corridor of thousands. */
const MOST_ROUNDS = 200;

/**
 * Finds the plane that misses a corridor least. Three or four points decide it, so the search looks only at a few, and the
 * rest are asked afterwards whether they are missed by more; while one is, it joins the few. As the few can only make a
 * plane miss less than all do, what all agree to is the best for all.
 *
 * @param u @param v Places, mm. @param low @param high The corridor there, mm.
 * @param steepest Steepest slope to try along u and along v. Default 1 (45°).
 * @returns The plane. Cost: some ten looks at each point, and 2000 at a dozen of them as often.
 */
export function fitJointPlane(
  u: Float64Array,
  v: Float64Array,
  low: Float64Array,
  high: Float64Array,
  steepest = 1,
): JointPlane {
  const all: Corridor = { u, v, low, high };
  const level = missAt(all, 0, 0);
  let few = pick(all, [level.lowest, level.highest]);
  let tilted = { ...level, slopeU: 0, slopeV: 0 };
  const asked = new Set([level.lowest, level.highest]);
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const slopeU = bestSlopeU(few, steepest);
    const slopeV = bestSlopeV(few, slopeU, steepest);
    const here = { ...missAt(all, slopeU, slopeV), slopeU, slopeV };
    if (round === 0 || here.miss < tilted.miss) tilted = here;
    if (asked.has(here.lowest) && asked.has(here.highest)) break;
    asked.add(here.lowest).add(here.highest);
    few = pick(all, [...asked]);
  }
  // A level plane that fits is never given up for a tilted one that only fits more loosely.
  const { miss, height, slopeU, slopeV } =
    level.miss <= Math.max(0, tilted.miss) ? { ...level, slopeU: 0, slopeV: 0 } : tilted;
  return { height, slopeU, slopeV, miss };
}

interface Corridor {
  readonly u: Float64Array;
  readonly v: Float64Array;
  readonly low: Float64Array;
  readonly high: Float64Array;
}

function pick({ u, v, low, high }: Corridor, which: readonly number[]): Corridor {
  const of = (values: Float64Array): Float64Array => Float64Array.from(which, (i) => values[i]);
  return { u: of(u), v: of(v), low: of(low), high: of(high) };
}

/** The best height for given slopes, by how much it misses, and the two points that decide it. */
function missAt(
  { u, v, low, high }: Corridor,
  slopeU: number,
  slopeV: number,
): { miss: number; height: number; lowest: number; highest: number } {
  let most = -Infinity;
  let least = Infinity;
  let lowest = 0;
  let highest = 0;
  for (let i = 0; i < u.length; i++) {
    const tilt = slopeU * u[i] + slopeV * v[i];
    if (low[i] - tilt > most) {
      most = low[i] - tilt;
      lowest = i;
    }
    if (high[i] - tilt < least) {
      least = high[i] - tilt;
      highest = i;
    }
  }
  return { miss: (most - least) / 2, height: (most + least) / 2, lowest, highest };
}

/** How much the best height for given slopes misses: of {@link missAt} what is asked thousands of times, without an object. */
function leastMiss({ u, v, low, high }: Corridor, slopeU: number, slopeV: number): number {
  let most = -Infinity;
  let least = Infinity;
  for (let i = 0; i < u.length; i++) {
    const tilt = slopeU * u[i] + slopeV * v[i];
    if (low[i] - tilt > most) most = low[i] - tilt;
    if (high[i] - tilt < least) least = high[i] - tilt;
  }
  return (most - least) / 2;
}

/** The best slope along v for a given one along u, and the best along u: each where a convex function is least. */
function bestSlopeV(few: Corridor, slopeU: number, steepest: number): number {
  return narrow(steepest, (slopeV) => leastMiss(few, slopeU, slopeV));
}

function bestSlopeU(few: Corridor, steepest: number): number {
  return narrow(steepest, (slopeU) => leastMiss(few, slopeU, bestSlopeV(few, slopeU, steepest)));
}

/** Where a convex function on −reach … reach is least. */
function narrow(reach: number, f: (x: number) => number): number {
  let a = -reach;
  let b = reach;
  let x = b - GOLDEN * (b - a);
  let y = a + GOLDEN * (b - a);
  let fx = f(x);
  let fy = f(y);
  for (let i = 0; i < STEPS; i++) {
    if (fx <= fy) {
      b = y;
      y = x;
      fy = fx;
      x = b - GOLDEN * (b - a);
      fx = f(x);
    } else {
      a = x;
      x = y;
      fx = fy;
      y = a + GOLDEN * (b - a);
      fy = f(y);
    }
  }
  return (a + b) / 2;
}
