/**
 * Sheets that touch along an edge, moved a hair apart. The kernel keeps their corners apart by number only: in a file, where
 * corners are told by their place in 32 bits, four faces would meet at the edge, and what was closed would not read as such.
 */

/** How far a corner is moved, as a share of the largest coordinate or size: well over the rounding, far under any sand's grain. */
const HAIR = 1e-6;
const ROUNDS = 4;

/**
 * Places of corners such that no edge is shared by more than two faces once the places are rounded to 32 bits.
 *
 * @param positions n×3, mm. Not changed.
 * @returns The same array where nothing touches. Cost: one pass over the corners; more only where corners coincide.
 */
export function partSheets(positions: Float64Array, triangles: Uint32Array): Float64Array {
  let places = positions;
  const hair = HAIR * positions.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  for (let round = 1; round <= ROUNDS; round++) {
    const moves = movesApart(places, triangles);
    if (moves.size === 0) break;
    if (places === positions) places = positions.slice();
    for (const [corner, move] of moves) {
      const length = Math.hypot(...move) || 1;
      for (let k = 0; k < 3; k++) places[3 * corner + k] += (round * hair * move[k]) / length;
    }
  }
  return places;
}

/** Which way to move which corner. */
function movesApart(positions: Float64Array, triangles: Uint32Array): Map<number, [number, number, number]> {
  const moves = new Map<number, [number, number, number]>();
  const { first, shared } = findSame(positions);
  if (!shared) return moves;
  // Faces at edges whose ends coincide with another's: by the numbers that a reader would give the corners.
  const faces = new Map<number, number[]>();
  const count = positions.length / 3;
  for (let t = 0; t < triangles.length; t += 3) {
    for (let n = 0; n < 3; n++) {
      const [a, b] = [first[triangles[t + n]], first[triangles[t + ((n + 1) % 3)]]];
      if (a === b || (shared[a] === 0 && shared[b] === 0)) continue;
      const key = Math.min(a, b) * count + Math.max(a, b);
      const list = faces.get(key);
      if (list) list.push(t + n);
      else faces.set(key, [t + n]);
    }
  }
  for (const list of faces.values()) if (list.length > 2) moveSheets(positions, triangles, list, moves);
  return moves;
}

/** The first corner at each corner's place in 32 bits; and which of those stand for several. `null` where all are apart. */
function findSame(positions: Float64Array): { first: Uint32Array; shared: Uint8Array | null } {
  const places = Float32Array.from(positions);
  const bits = new Int32Array(places.buffer);
  const count = positions.length / 3;
  const size = 2 ** Math.ceil(Math.log2(2 * count + 1));
  const table = new Int32Array(size).fill(-1);
  const first = new Uint32Array(count);
  let shared: Uint8Array | null = null;
  for (let i = 0; i < count; i++) {
    const [x, y, z] = [places[3 * i], places[3 * i + 1], places[3 * i + 2]];
    // A hash of the bits; nothing and minus nothing are one place.
    let slot = Math.imul(x === 0 ? 0 : bits[3 * i], 0x9e3779b1);
    slot = Math.imul((slot ^ (slot >>> 15)) + (y === 0 ? 0 : bits[3 * i + 1]), 0x85ebca6b);
    slot = Math.imul((slot ^ (slot >>> 13)) + (z === 0 ? 0 : bits[3 * i + 2]), 0xc2b2ae35);
    slot = (slot ^ (slot >>> 16)) & (size - 1);
    while (table[slot] >= 0) {
      const j = 3 * table[slot];
      if (places[j] === x && places[j + 1] === y && places[j + 2] === z) break;
      slot = (slot + 1) & (size - 1);
    }
    if (table[slot] < 0) table[slot] = i;
    else {
      shared ??= new Uint8Array(count);
      shared[table[slot]] = 1;
    }
    first[i] = table[slot];
  }
  return { first, shared };
}

/** Moves the ends of each pair of faces that share an edge by number: an outward edge into its metal, an inward one into its space. */
function moveSheets(
  positions: Float64Array,
  triangles: Uint32Array,
  list: readonly number[],
  moves: Map<number, [number, number, number]>,
): void {
  for (const one of list) {
    const [a, b] = [triangles[one], triangles[afterIn(one)]];
    const other = list.find((half) => triangles[half] === b && triangles[afterIn(half)] === a);
    if (other === undefined) continue;
    const [n, m] = [normalOf(positions, triangles, one), normalOf(positions, triangles, other)];
    const apex = triangles[afterIn(afterIn(other))];
    let rise = 0;
    for (let k = 0; k < 3; k++) rise += n[k] * (positions[3 * apex + k] - positions[3 * a + k]);
    const way = rise <= 0 ? -1 : 1;
    for (const corner of [a, b]) {
      const move = moves.get(corner) ?? [0, 0, 0];
      for (let k = 0; k < 3; k++) move[k] += way * (n[k] + m[k]);
      moves.set(corner, move);
    }
  }
}

const afterIn = (half: number): number => half - (half % 3) + ((half + 1) % 3);

/** The unit normal of a face. */
function normalOf(p: Float64Array, triangles: Uint32Array, half: number): [number, number, number] {
  const t = half - (half % 3);
  const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const size = Math.hypot(n[0], n[1], n[2]) || 1;
  return [n[0] / size, n[1] / size, n[2] / size];
}
