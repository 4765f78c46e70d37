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

/**
 * Finds the plane that misses a corridor least.
 *
 * @param u @param v Places, mm. @param low @param high The corridor there, mm.
 * @param steepest Steepest slope to try along u and along v. Default 1 (45°).
 * @returns The plane. Cost: some 2000 looks at each point.
 */
export function fitJointPlane(
  u: Float64Array,
  v: Float64Array,
  low: Float64Array,
  high: Float64Array,
  steepest = 1,
): JointPlane {
  const missAt = (slopeU: number, slopeV: number): { miss: number; height: number } => {
    let most = -Infinity;
    let least = Infinity;
    for (let i = 0; i < u.length; i++) {
      const tilt = slopeU * u[i] + slopeV * v[i];
      if (low[i] - tilt > most) most = low[i] - tilt;
      if (high[i] - tilt < least) least = high[i] - tilt;
    }
    return { miss: (most - least) / 2, height: (most + least) / 2 };
  };
  const bestV = (slopeU: number): number => narrow(steepest, (slopeV) => missAt(slopeU, slopeV).miss);
  const slopeU = narrow(steepest, (slope) => missAt(slope, bestV(slope)).miss);
  const slopeV = bestV(slopeU);
  const level = missAt(0, 0);
  const tilted = missAt(slopeU, slopeV);
  // A level plane that fits is never given up for a tilted one that only fits more loosely.
  if (level.miss <= Math.max(0, tilted.miss)) return { ...level, slopeU: 0, slopeV: 0 };
  return { ...tilted, slopeU, slopeV };
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
