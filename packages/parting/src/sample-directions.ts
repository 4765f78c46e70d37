/**
 * Even sets of draws. A draw and its opposite part the same pattern, so a half sphere is enough.
 *
 * The sets are an icosahedron's corners and what divides its faces into n² small triangles of nearly one size. That covers the
 * sphere within 6 % as well as anything can (a flat sheet of even triangles); a spiral needs 1.6 times as many draws to
 * leave no axis further from one of them (measured).
 */
import {
  checkNumber,
  cross,
  dot,
  length,
  scale as times,
  steadyCosine,
  steadySine,
  subtract,
  unitVector,
  type Vec3,
} from '@oddside/core';

const COUNTS = { min: 1, max: 100_000, whole: true };

/**
 * Directions spread evenly over the upper half sphere. Deterministic.
 *
 * @param count About how many, 1–100 000. There are sets of 5n² + 1 for whole n (6, 21, 46, 81, 126 and so on); what comes is
 *   near it: 981 for 1000, and then no draw is further than 3.0° from one of them or its opposite.
 * @throws OddsideError `bad-number`.
 */
export function sampleDirections(count: number): Vec3[] {
  const n = divisionFor(count);
  const found: Vec3[] = [...AXES];
  for (const [i, a] of AXES.entries()) {
    for (let j = i + 1; j < AXES.length; j++) {
      const b = nearerEnd(AXES[j], a);
      for (let y = 1; y < n; y++) found.push(placeInFace(a, b, a, n, y, 0));
      for (let k = j + 1; k < AXES.length; k++) {
        const c = nearerEnd(AXES[k], a);
        // Three axes have ends that meet in a face, or not.
        if (dot(b, c) < 0) continue;
        for (let y = 1; y < n; y++) for (let z = 1; y + z < n; z++) found.push(placeInFace(a, b, c, n, y, z));
      }
    }
  }
  return found.map(upperEnd);
}

/**
 * The covering radius of {@link sampleDirections}: no axis is further from one of them, degrees. Worked out from the set
 * itself: no place in a triangle is further from the nearest of its corners than the circle through them is wide. It comes to
 * about 94/√count. Cost: half a µs a direction.
 *
 * @throws OddsideError `bad-number`.
 */
export function coveringRadiusDeg(count: number): number {
  const n = divisionFor(count);
  const [a, b, c] = oneFace();
  const at = (y: number, z: number): Vec3 => placeInFace(a, b, c, n, y, z);
  let widest = 0;
  for (let y = 0; y < n; y++) {
    for (let z = 0; y + z < n; z++) {
      const [right, left] = [at(y + 1, z), at(y, z + 1)];
      widest = Math.max(widest, circleDeg(at(y, z), right, left));
      if (y + z + 2 <= n) widest = Math.max(widest, circleDeg(at(y + 1, z + 1), right, left));
    }
  }
  return widest;
}

/** How many directions {@link sampleDirections} gives where about so many are asked for. */
export function directionsNear(count: number): number {
  return 5 * divisionFor(count) ** 2 + 1;
}

/** Parts into which each edge is divided for about so many directions. */
function divisionFor(count: number): number {
  return Math.max(1, Math.round(Math.sqrt((checkNumber('count', count, COUNTS) - 1) / 5)));
}

const GOLDEN = (1 + Math.sqrt(5)) / 2;
/** The angle between neighbouring corners, whose tangent is 2, radians. */
const EDGE = 1.1071487177940904;
/** So that no sample lies along a modelled pattern's axis by chance: those are looked for, and found exactly, by themselves. */
const TURN = 0.4;

/** The six axes through an icosahedron's opposite corners. */
const AXES: readonly Vec3[] = /* @__PURE__ */ turnedAxes();

function turnedAxes(): Vec3[] {
  const [c, s] = [steadyCosine(TURN), steadySine(TURN)];
  const corners = [1, -1].flatMap((one): Vec3[] => [
    [0, one, GOLDEN],
    [one, GOLDEN, 0],
    [GOLDEN, 0, one],
  ]);
  // About z and then about x.
  return corners.map(([x, y, z]) => {
    const [xz, yz] = [c * x - s * y, s * x + c * y];
    return unitVector([xz, c * yz - s * z, s * yz + c * z]);
  });
}

const upperEnd = (axis: Vec3): Vec3 => (axis[2] < 0 ? times(axis, -1) : axis);

/** Of an axis the end that is next to a corner: each has one. */
function nearerEnd(axis: Vec3, corner: Vec3): Vec3 {
  return dot(axis, corner) < 0 ? times(axis, -1) : axis;
}

function oneFace(): [Vec3, Vec3, Vec3] {
  const [a, second, ...others] = AXES;
  const b = nearerEnd(second, a);
  return [a, b, others.map((axis) => nearerEnd(axis, a)).find((end) => dot(b, end) > 0)!];
}

/** The place `y` parts from `a` towards `b` and `z` parts towards `c`, of `n`. Along an edge the parts are of one length. */
function placeInFace(a: Vec3, b: Vec3, c: Vec3, n: number, y: number, z: number): Vec3 {
  const p = steadySine(((n - y - z) / n) * EDGE);
  const q = steadySine((y / n) * EDGE);
  const r = steadySine((z / n) * EDGE);
  return unitVector([p * a[0] + q * b[0] + r * c[0], p * a[1] + q * b[1] + r * c[1], p * a[2] + q * b[2] + r * c[2]]);
}

/** The circle through three places on the sphere, degrees from its middle. */
function circleDeg(a: Vec3, b: Vec3, c: Vec3): number {
  const across = cross(subtract(b, a), subtract(c, a));
  return (Math.atan2(length(cross(across, a)), Math.abs(dot(across, a))) * 180) / Math.PI;
}
