/**
 * Which nodes of a grid lie inside a surface that need not be sound. Lines along the three axes run through the nodes;
 * each tells by the windings it has gone through, which is exact for a closed surface however often it cuts itself. A line
 * that meets a hole contradicts itself; it then has two half votes, one from either end, and the other axes outvote it.
 */
import type { Bounds, Vec3 } from '@oddside/core';

/** A grid of nodes: node (i, j, k) lies at `from + cell · (i, j, k)` and has number `(k · ny + j) · nx + i`. */
export interface NodeGrid {
  readonly from: Vec3;
  readonly cell: number;
  readonly counts: readonly [number, number, number];
}

/** Votes for each node, from −6 (outside) to 6 (inside). Cost: a pass over the triangles and the nodes for each axis. */
export function voteInside(points: Float32Array, triangles: Uint32Array, grid: NodeGrid): Int8Array {
  const votes = new Int8Array(grid.counts[0] * grid.counts[1] * grid.counts[2]);
  for (const axis of [0, 1, 2] as const) {
    countVotes(castLines(points, triangles, grid, axis), grid, axis, votes);
  }
  for (let round = 0; round < ROUNDS; round++) settleDoubtful(votes, grid);
  return votes;
}

/** A node whose lines leave it in doubt goes with its neighbours: in a surface full of holes all three lines may meet one. */
const DOUBTFUL = 2;
const ROUNDS = 4;

function settleDoubtful(votes: Int8Array, { counts: [nx, ny, nz] }: NodeGrid): void {
  const before = votes.slice();
  for (let k = 1; k + 1 < nz; k++) {
    for (let j = 1; j + 1 < ny; j++) {
      for (let i = 1; i + 1 < nx; i++) {
        const n = (k * ny + j) * nx + i;
        if (before[n] > DOUBTFUL || before[n] < -DOUBTFUL) continue;
        const sum =
          before[n - 1] + before[n + 1] + before[n - nx] + before[n + nx] + before[n - nx * ny] + before[n + nx * ny];
        votes[n] = Math.round(sum / 6);
      }
    }
  }
}

/** Lines each way on which {@link doubledVolume} counts. */
const LINES = 192;

/** Volume that a closed surface winds round more than once, or backwards, counted as often as it is too much, mm³. `way` −1: faces inward. */
export function doubledVolume(points: Float32Array, triangles: Uint32Array, { min, max }: Bounds, way: 1 | -1): number {
  const cell = Math.max(max[0] - min[0], max[1] - min[1]) / LINES;
  const from: Vec3 = [min[0] + 0.3819 * cell, min[1] + 0.2764 * cell, min[2]];
  const counts = [Math.ceil((max[0] - min[0]) / cell), Math.ceil((max[1] - min[1]) / cell), 1] as const;
  const { starts, heights, ways } = castLines(points, triangles, { from, cell, counts }, 2);
  let doubled = 0;
  for (let line = 0; line + 1 < starts.length; line++) {
    let winding = 0;
    for (let k = starts[line]; k + 1 < starts[line + 1]; k++) {
      winding += way * ways[k];
      doubled += Math.max(winding - 1, -winding, 0) * (heights[k + 1] - heights[k]);
    }
  }
  return doubled * cell ** 3;
}

/** Crossings of the lines along one axis, those of a line together and in order. */
interface Crossings {
  /** Line number `iv · nu + iu` has the crossings `starts[line]` up to, not including, `starts[line + 1]`. */
  readonly starts: Uint32Array;
  /** In cells from the first node. */
  readonly heights: Float64Array;
  /** +1 where the line enters, −1 where it leaves. */
  readonly ways: Int8Array;
}

function castLines(points: Float32Array, triangles: Uint32Array, grid: NodeGrid, axis: 0 | 1 | 2): Crossings {
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  const { from, cell, counts } = grid;
  const lines: number[] = [];
  const heights: number[] = [];
  const ways: number[] = [];
  const placed = new Float64Array(points.length);
  for (let i = 0; i < points.length; i++) placed[i] = (points[i] - from[i % 3]) / cell;
  // Each edge is asked from its lower corner's end, so that two faces at it always answer alike and none is lost or doubled.
  const leftOf = (a: number, b: number, x: number, y: number): boolean => {
    const [p, q] = a < b ? [3 * a, 3 * b] : [3 * b, 3 * a];
    const cross =
      (placed[q + u] - placed[p + u]) * (y - placed[p + v]) - (placed[q + v] - placed[p + v]) * (x - placed[p + u]);
    return cross >= 0 === a < b;
  };
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    const [pu, pv] = [placed[3 * a + u], placed[3 * a + v]];
    const [ux, uy] = [placed[3 * b + u] - pu, placed[3 * b + v] - pv];
    const [vx, vy] = [placed[3 * c + u] - pu, placed[3 * c + v] - pv];
    const twice = ux * vy - uy * vx;
    if (twice === 0) continue;
    const x0 = Math.max(0, Math.ceil(pu + Math.min(0, ux, vx)));
    const x1 = Math.min(counts[u] - 1, Math.floor(pu + Math.max(0, ux, vx)));
    const y0 = Math.max(0, Math.ceil(pv + Math.min(0, uy, vy)));
    const y1 = Math.min(counts[v] - 1, Math.floor(pv + Math.max(0, uy, vy)));
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        const left = leftOf(a, b, x, y);
        if (leftOf(b, c, x, y) !== left || leftOf(c, a, x, y) !== left) continue;
        const s = ((x - pu) * vy - (y - pv) * vx) / twice;
        const r = ((y - pv) * ux - (x - pu) * uy) / twice;
        const base = placed[3 * a + axis];
        lines.push(y * counts[u] + x);
        heights.push(base + s * (placed[3 * b + axis] - base) + r * (placed[3 * c + axis] - base));
        ways.push(left ? -1 : 1);
      }
    }
  }
  return inOrder(lines, heights, ways, counts[u] * counts[v]);
}

function inOrder(
  lines: readonly number[],
  heights: readonly number[],
  ways: readonly number[],
  count: number,
): Crossings {
  const order = Uint32Array.from(lines, (_, k) => k).sort((a, b) => lines[a] - lines[b] || heights[a] - heights[b]);
  const starts = new Uint32Array(count + 1);
  for (const line of lines) starts[line + 1]++;
  for (let line = 0; line < count; line++) starts[line + 1] += starts[line];
  return {
    starts,
    heights: Float64Array.from(order, (k) => heights[k]),
    ways: Int8Array.from(order, (k) => ways[k]),
  };
}

function countVotes(
  { starts, heights, ways }: Crossings,
  { counts }: NodeGrid,
  axis: 0 | 1 | 2,
  votes: Int8Array,
): void {
  const strides = [1, counts[0], counts[0] * counts[1]];
  const [u, v] = [(axis + 1) % 3, (axis + 2) % 3];
  for (let line = 0; line + 1 < starts.length; line++) {
    const first = (line % counts[u]) * strides[u] + Math.floor(line / counts[u]) * strides[v];
    let total = 0;
    for (let k = starts[line]; k < starts[line + 1]; k++) total += ways[k];
    let winding = 0;
    let k = starts[line];
    for (let n = 0; n < counts[axis]; n++) {
      for (; k < starts[line + 1] && heights[k] <= n; k++) winding += ways[k];
      votes[first + n * strides[axis]] += (winding > 0 ? 1 : -1) + (winding - total > 0 ? 1 : -1);
    }
  }
}
