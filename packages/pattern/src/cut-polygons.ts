/** Cuts polygons of four or more corners into triangles. */
import earcut from 'earcut';

/**
 * Cuts one polygon. Convex ones become a fan from their first corner; others are cut by ears in the plane they lie in
 * (Newell's normal). Every corner is used, those on a straight edge too: leaving one out, as ear cutting likes to, would
 * open a crack to the neighbour.
 *
 * @param corners Corner numbers of the polygon, all below the number of corners in `positions`.
 * @param add Takes each triangle.
 */
export function cutPolygon(
  positions: Float64Array,
  corners: ArrayLike<number>,
  add: (a: number, b: number, c: number) => void,
): void {
  const n = corners.length;
  if (n === 3) {
    add(corners[0], corners[1], corners[2]);
    return;
  }
  const flat = flatten(positions, corners);
  if (isConvex(flat)) {
    for (let i = 1; i + 1 < n; i++) add(corners[0], corners[i], corners[i + 1]);
    return;
  }
  const cut = withAllCorners(earcut(flat), n);
  // A polygon without area or one that crosses itself cannot be cut well, but its border must still meet the neighbours.
  const fan = cut.length !== n - 2;
  for (let i = 0; i + 2 < n; i++) {
    if (fan) add(corners[0], corners[i + 1], corners[i + 2]);
    else add(corners[cut[i][0]], corners[cut[i][1]], corners[cut[i][2]]);
  }
}

/** The polygon in its own plane, counter-clockwise, x y of each corner in turn. */
function flatten(positions: Float64Array, corners: ArrayLike<number>): Float64Array {
  const n = corners.length;
  const o = corners[0] * 3;
  let nx = 0;
  let ny = 0;
  let nz = 0;
  for (let i = 0; i < n; i++) {
    const p = corners[i] * 3;
    const q = corners[i + 1 === n ? 0 : i + 1] * 3;
    const px = positions[p] - positions[o];
    const py = positions[p + 1] - positions[o + 1];
    const pz = positions[p + 2] - positions[o + 2];
    const qx = positions[q] - positions[o];
    const qy = positions[q + 1] - positions[o + 1];
    const qz = positions[q + 2] - positions[o + 2];
    nx += py * qz - pz * qy;
    ny += pz * qx - px * qz;
    nz += px * qy - py * qx;
  }
  // Dropping the axis the normal leans on most keeps the coordinates as they are, and so exact.
  const ax = Math.abs(nx);
  const ay = Math.abs(ny);
  const az = Math.abs(nz);
  const [u, v] =
    ax >= ay && ax >= az
      ? nx < 0
        ? [2, 1]
        : [1, 2]
      : ay >= az
        ? ny < 0
          ? [0, 2]
          : [2, 0]
        : nz < 0
          ? [1, 0]
          : [0, 1];
  const flat = new Float64Array(n * 2);
  for (let i = 0; i < n; i++) {
    flat[i * 2] = positions[corners[i] * 3 + u];
    flat[i * 2 + 1] = positions[corners[i] * 3 + v];
  }
  return flat;
}

/** True when the polygon turns left at every corner or goes straight on, and goes round once. */
function isConvex(flat: Float64Array): boolean {
  const n = flat.length / 2;
  let round = 0;
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    const k = (i + 2) % n;
    const ux = flat[j * 2] - flat[i * 2];
    const uy = flat[j * 2 + 1] - flat[i * 2 + 1];
    const vx = flat[k * 2] - flat[j * 2];
    const vy = flat[k * 2 + 1] - flat[j * 2 + 1];
    const turn = ux * vy - uy * vx;
    if (turn < 0) return false;
    round += Math.atan2(turn, ux * vx + uy * vy);
  }
  return round < 2 * Math.PI + 1;
}

/** Puts corners that the ear cutting left out back on the edge they lie on. */
function withAllCorners(ears: readonly number[], n: number): (readonly [number, number, number])[] {
  const used = new Uint8Array(n);
  for (const corner of ears) used[corner] = 1;
  const result: [number, number, number][] = [];
  const ofEdge = new Map<number, number>();
  for (let i = 0; i < ears.length; i += 3) {
    // Earcut does not promise which way round its triangles are; by number they run as the polygon does.
    const [a, b, c] = [ears[i], ears[i + 1], ears[i + 2]].sort((p, q) => p - q);
    result.push([a, b, c]);
  }
  const note = (t: number): void => {
    const [a, b, c] = result[t];
    ofEdge.set(a * n + b, t);
    ofEdge.set(b * n + c, t);
    ofEdge.set(c * n + a, t);
  };
  result.forEach((_, t) => note(t));
  for (let i = 0; i < n; i++) {
    const from = i;
    if (!used[from] || used[(from + 1) % n]) continue;
    const run: number[] = [];
    let to = (from + 1) % n;
    while (!used[to]) {
      run.push(to);
      to = (to + 1) % n;
    }
    let t = ofEdge.get(from * n + to);
    if (t === undefined) continue;
    const tip = result[t].find((corner) => corner !== from && corner !== to)!;
    let last = from;
    for (const corner of [...run, to]) {
      result[t] = [last, corner, tip];
      note(t);
      last = corner;
      t = result.length;
      if (corner !== to) result.push([0, 0, 0]);
    }
  }
  return result;
}
