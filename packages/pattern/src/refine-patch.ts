/** Makes the patch over a hole as fine as its surroundings, and as smooth. */

/** A patch: corners (the ring's first, then new ones) and triangles by place in it. */
export interface Patch {
  readonly points: number[];
  readonly triangles: number[];
}

/** New corners a patch may have; a hole that would need more is covered coarsely. */
const MOST_CORNERS = 20000;

/**
 * Puts new corners in the middle of triangles that are large beside their surroundings and turns edges until they suit,
 * over and over (P. Liepa, "Filling holes in meshes", 2003, from memory).
 *
 * @param scale Mean edge length of the mesh about each corner of the ring.
 */
export function refinePatch(patch: Patch, scale: readonly number[]): Patch {
  const points = patch.points.slice();
  let triangles = patch.triangles.slice();
  const ring = points.length / 3;
  const local = scale.slice();
  for (let round = 0; round < 12; round++) {
    const next: number[] = [];
    for (let t = 0; t < triangles.length; t += 3) {
      const [a, b, c] = triangles.slice(t, t + 3);
      const middle = [0, 1, 2].map((k) => (points[a * 3 + k] + points[b * 3 + k] + points[c * 3 + k]) / 3);
      const size = (local[a] + local[b] + local[c]) / 3;
      const wide = [a, b, c].every((corner) => {
        const far = Math.hypot(...[0, 1, 2].map((k) => points[corner * 3 + k] - middle[k])) * Math.SQRT2;
        return far > size && far > local[corner];
      });
      if (!wide || points.length / 3 - ring >= MOST_CORNERS) {
        next.push(a, b, c);
        continue;
      }
      const made = points.length / 3;
      points.push(...middle);
      local.push(size);
      next.push(a, b, made, b, c, made, c, a, made);
    }
    const grew = next.length > triangles.length;
    triangles = next;
    if (!grew) break;
    for (let pass = 0; pass < 8 && turnEdges(points, triangles); pass++) continue;
  }
  return { points, triangles };
}

/** Turns inner edges whose opposite angles add up to more than a straight one. True when any was turned. */
function turnEdges(points: readonly number[], triangles: number[]): boolean {
  const corners = points.length / 3;
  const sides = new Map<number, number>();
  const key = (a: number, b: number): number => a * corners + b;
  for (let h = 0; h < triangles.length; h++) {
    const next = h % 3 === 2 ? h - 2 : h + 1;
    sides.set(key(triangles[h], triangles[next]), h);
  }
  const busy = new Uint8Array(triangles.length / 3);
  let turned = false;
  for (let h = 0; h < triangles.length; h++) {
    const t = (h / 3) | 0;
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const a = triangles[h];
    const b = triangles[next];
    const o = sides.get(key(b, a));
    if (a > b || o === undefined || busy[t] || busy[(o / 3) | 0]) continue;
    const c = triangles[next % 3 === 2 ? next - 2 : next + 1];
    const oNext = o % 3 === 2 ? o - 2 : o + 1;
    const d = triangles[oNext % 3 === 2 ? oNext - 2 : oNext + 1];
    if (sides.has(key(c, d)) || sides.has(key(d, c))) continue;
    if (angleAt(points, c, a, b) + angleAt(points, d, a, b) <= Math.PI + 1e-6) continue;
    triangles.splice(t * 3, 3, c, a, d);
    triangles.splice(((o / 3) | 0) * 3, 3, d, b, c);
    busy[t] = busy[(o / 3) | 0] = 1;
    sides.set(key(c, d), t * 3);
    turned = true;
  }
  return turned;
}

function angleAt(p: readonly number[], c: number, a: number, b: number): number {
  const u = [0, 1, 2].map((k) => p[a * 3 + k] - p[c * 3 + k]);
  const v = [0, 1, 2].map((k) => p[b * 3 + k] - p[c * 3 + k]);
  const cross = Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]);
  return Math.atan2(cross, u[0] * v[0] + u[1] * v[1] + u[2] * v[2]);
}

/**
 * Moves the new corners so that the patch goes on as the surface around it does: first a membrane, then a thin plate
 * (Kobbelt, Campagna, Vorsatz, Seidel 1998, from memory), by relaxation.
 *
 * @param points All corners concerned; only the `movable` ones move.
 * @param neighbours Of every corner; for the fixed ones those in the mesh too.
 */
export function smoothPatch(
  points: Float64Array,
  movable: readonly number[],
  neighbours: readonly (readonly number[])[],
): void {
  const pull = new Float64Array(points.length);
  const update = (corner: number): void => {
    const around = neighbours[corner];
    for (let k = 0; k < 3; k++) {
      let sum = 0;
      for (const near of around) sum += points[near * 3 + k];
      pull[corner * 3 + k] = around.length > 0 ? sum / around.length - points[corner * 3 + k] : 0;
    }
  };
  for (let turn = 0; turn < 100; turn++) {
    for (const corner of movable) {
      update(corner);
      for (let k = 0; k < 3; k++) points[corner * 3 + k] += pull[corner * 3 + k];
    }
  }
  const reach = new Set<number>();
  for (const corner of movable) {
    reach.add(corner);
    for (const near of neighbours[corner]) reach.add(near);
  }
  const weight = movable.map((corner) => {
    const around = neighbours[corner];
    return (
      1 + around.reduce((sum, near) => sum + 1 / Math.max(1, neighbours[near].length), 0) / Math.max(1, around.length)
    );
  });
  for (let turn = 0; turn < 400; turn++) {
    for (const corner of reach) update(corner);
    movable.forEach((corner, i) => {
      const around = neighbours[corner];
      for (let k = 0; k < 3; k++) {
        let sum = 0;
        for (const near of around) sum += pull[near * 3 + k];
        points[corner * 3 + k] -= (sum / around.length - pull[corner * 3 + k]) / weight[i];
      }
    });
  }
}
