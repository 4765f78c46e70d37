/** Covers a ring of corners with triangles. */
import earcut from 'earcut';

/** Longest ring for the exact search, whose cost grows with the cube. */
const MOST_EXACT = 160;

/**
 * Triangles over a ring, as places in it three by three, running as the ring runs. The smallest total area there is, by
 * dynamic programming over all triangulations (Klincsek 1980; Barequet and Sharir 1995, from memory); longer rings are
 * cut in the plane that fits them. `undefined` where no covering without a forbidden edge is found.
 *
 * @param forbidden Says whether an inner edge between two places may not be used, as the mesh has it already.
 */
export function coverRing(
  points: Float64Array,
  forbidden: (i: number, j: number) => boolean,
): readonly number[] | undefined {
  const n = points.length / 3;
  if (n < 3) return undefined;
  return n <= MOST_EXACT ? smallestCover(points, n, forbidden) : flatCover(points, n, forbidden);
}

function smallestCover(
  points: Float64Array,
  n: number,
  forbidden: (i: number, j: number) => boolean,
): number[] | undefined {
  const best = new Float64Array(n * n);
  const choice = new Int32Array(n * n).fill(-1);
  for (let width = 2; width < n; width++) {
    for (let i = 0; i + width < n; i++) {
      const k = i + width;
      let least = Infinity;
      // The closing edge of the whole ring is there by right.
      if (width === n - 1 || !forbidden(i, k)) {
        for (let j = i + 1; j < k; j++) {
          const area = best[i * n + j] + best[j * n + k] + areaOf(points, i, j, k);
          if (area < least) {
            least = area;
            choice[i * n + k] = j;
          }
        }
      }
      best[i * n + k] = least;
    }
  }
  if (best[n - 1] === Infinity) return undefined;
  const cover: number[] = [];
  const stack = [[0, n - 1]];
  while (stack.length > 0) {
    const [i, k] = stack.pop()!;
    if (k - i < 2) continue;
    const j = choice[i * n + k];
    cover.push(i, j, k);
    stack.push([i, j], [j, k]);
  }
  return cover;
}

function areaOf(p: Float64Array, i: number, j: number, k: number): number {
  const ux = p[j * 3] - p[i * 3];
  const uy = p[j * 3 + 1] - p[i * 3 + 1];
  const uz = p[j * 3 + 2] - p[i * 3 + 2];
  const vx = p[k * 3] - p[i * 3];
  const vy = p[k * 3 + 1] - p[i * 3 + 1];
  const vz = p[k * 3 + 2] - p[i * 3 + 2];
  const x = uy * vz - uz * vy;
  const y = uz * vx - ux * vz;
  const z = ux * vy - uy * vx;
  return Math.sqrt(x * x + y * y + z * z) / 2;
}

/** Ears in the plane of the ring's own normal; only where that leaves no corner out and crosses nothing. */
function flatCover(
  points: Float64Array,
  n: number,
  forbidden: (i: number, j: number) => boolean,
): number[] | undefined {
  let nx = 0;
  let ny = 0;
  let nz = 0;
  for (let i = 0; i < n; i++) {
    const a = i * 3;
    const b = ((i + 1) % n) * 3;
    nx += (points[a + 1] - points[b + 1]) * (points[a + 2] + points[b + 2]);
    ny += (points[a + 2] - points[b + 2]) * (points[a] + points[b]);
    nz += (points[a] - points[b]) * (points[a + 1] + points[b + 1]);
  }
  const size = Math.hypot(nx, ny, nz);
  if (!(size > 0)) return undefined;
  const [x, y, z] = [nx / size, ny / size, nz / size];
  const helper = Math.abs(x) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const u = [helper[1] * z - helper[2] * y, helper[2] * x - helper[0] * z, helper[0] * y - helper[1] * x];
  const v = [y * u[2] - z * u[1], z * u[0] - x * u[2], x * u[1] - y * u[0]];
  const flat = new Float64Array(n * 2);
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < 3; k++) {
      flat[i * 2] += points[i * 3 + k] * u[k];
      flat[i * 2 + 1] += points[i * 3 + k] * v[k];
    }
  }
  const ears = earcut(flat);
  if (ears.length !== (n - 2) * 3) return undefined;
  const cover: number[] = [];
  for (let i = 0; i < ears.length; i += 3) {
    const [a, b, c] = ears.slice(i, i + 3).sort((p, q) => p - q);
    for (const [p, q] of [
      [a, b],
      [b, c],
      [a, c],
    ] as const) {
      const neighbours = q - p === 1 || (p === 0 && q === n - 1);
      if (!neighbours && forbidden(p, q)) return undefined;
    }
    cover.push(a, b, c);
  }
  return cover;
}
