/**
 * A sound solid in place of a surface that cannot be united exactly: a new skin round everything that is inside, on a grid
 * of stated width. It takes any triangles. What it costs: edges and corners are rounded off by up to a cell, and walls
 * thinner than a cell may be lost; both are measured and said.
 */
import { OddsideError, checkNumber } from '@oddside/core';
import { meshOfBody } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import type { Body } from './kernel.js';
import { nearSurface, type NearSurface } from './grid-distance.js';
import type { Scope } from './own-bodies.js';
import { voteInside, type NodeGrid } from './vote-inside.js';

/** How a new skin lies to the old surface. */
export interface NewSkin {
  /** Width of a cell, mm. */
  readonly resolution: number;
  /** Measured: farthest that a corner of the new skin lies from the old surface, or an outer corner of the old from the new, mm. */
  readonly distance: number;
  /** Share of the new skin's corners over holes, where there is no old surface within two cells. */
  readonly bridgedShare: number;
  /** Share of the old outer corners that have no new skin within two cells: debris, fins and walls thinner than a cell. */
  readonly lostShare: number;
}

/** A new skin and what it encloses. */
export interface Remeshed extends NewSkin {
  readonly body: Body;
}

/** Cells across the longest side where no resolution is given. */
const CELLS = 128;
/** More nodes than this take too long and too much memory (about 10 bytes each). */
const MOST_NODES = 24e6;
/** Room round the surface, in cells. */
const ROOM = 3;

/** Remeshes. Cost: about 2 µs a node (1 to 3 s at 128 cells) and 4 µs a small triangle. @throws OddsideError `bad-number`, `infeasible`. */
export function remeshSolid(scope: Scope, mesh: FramedMesh, asked: number | undefined): Remeshed | null {
  const { min, max } = mesh.box;
  const longest = Math.max(...[0, 1, 2].map((k) => max[k] - min[k]));
  const cell = asked ?? longest / CELLS;
  checkNumber('resolution (mm)', cell, { min: 0, above: true, max: longest });
  const counts = [0, 1, 2].map((k) => Math.ceil((max[k] - min[k]) / cell) + 2 * ROOM + 1);
  if (counts[0] * counts[1] * counts[2] > MOST_NODES) {
    throw new OddsideError(
      'infeasible',
      `A resolution of ${cell} mm asks for ${counts.join(' × ')} nodes; at most ${MOST_NODES / 1e6} million were expected. Use a coarser one.`,
    );
  }
  // Off the surface's own planes by a share no model is drawn to, so that lines do not run along faces.
  const grid: NodeGrid = {
    from: [min[0] - (ROOM - 0.3819) * cell, min[1] - (ROOM - 0.2764) * cell, min[2] - (ROOM - 0.4377) * cell],
    cell,
    counts: [counts[0], counts[1], counts[2]],
  };
  const votes = voteInside(mesh.points, mesh.triangles, grid);
  const old = nearSurface(mesh.points, mesh.triangles, grid);
  const body = scope.own(scope.kernel.Manifold.levelSet(depthIn(grid, votes, old), innerBox(grid), cell));
  if (body.isEmpty()) return null;
  return { body, resolution: cell, ...compare(mesh, grid, votes, old, body) };
}

function innerBox({ from, cell, counts }: NodeGrid): { min: [number, number, number]; max: [number, number, number] } {
  const at = (steps: (k: number) => number): [number, number, number] => [
    from[0] + steps(0) * cell,
    from[1] + steps(1) * cell,
    from[2] + steps(2) * cell,
  ];
  return { min: at(() => 1), max: at((k) => counts[k] - 2) };
}

/** How deep inside a place lies, mm (below 0 outside), between the nodes by shares. */
function depthIn(
  grid: NodeGrid,
  votes: Int8Array,
  { distance }: NearSurface,
): (place: [number, number, number]) => number {
  const { from, cell, counts } = grid;
  const [nx, ny] = counts;
  // Never nothing: a surface inside the solid must not look like a skin.
  const least = 0.01 * cell;
  const depth = distance.map((value, node) => (votes[node] > 0 ? 1 : -1) * Math.max(least, value));
  const [dj, dk] = [nx, nx * ny];
  return ([x, y, z]) => {
    const fi = (x - from[0]) / cell;
    const fj = (y - from[1]) / cell;
    const fk = (z - from[2]) / cell;
    const i = Math.max(0, Math.min(nx - 2, Math.floor(fi)));
    const j = Math.max(0, Math.min(ny - 2, Math.floor(fj)));
    const k = Math.max(0, Math.min(counts[2] - 2, Math.floor(fk)));
    const [s, t, r] = [fi - i, fj - j, fk - k];
    const n = k * dk + j * dj + i;
    const low =
      (1 - t) * ((1 - s) * depth[n] + s * depth[n + 1]) + t * ((1 - s) * depth[n + dj] + s * depth[n + dj + 1]);
    const m = n + dk;
    const high =
      (1 - t) * ((1 - s) * depth[m] + s * depth[m + 1]) + t * ((1 - s) * depth[m + dj] + s * depth[m + dj + 1]);
    return (1 - r) * low + r * high;
  };
}

function compare(
  mesh: FramedMesh,
  grid: NodeGrid,
  votes: Int8Array,
  old: NearSurface,
  body: Body,
): Omit<NewSkin, 'resolution'> {
  const skin = meshOfBody(body);
  const fresh = nearSurface(skin.points, skin.triangles, grid);
  let distance = 0;
  let bridged = 0;
  for (let i = 0; i < skin.points.length; i += 3) {
    const off = old.at(skin.points[i], skin.points[i + 1], skin.points[i + 2]);
    if (off >= old.far) bridged++;
    else distance = Math.max(distance, off);
  }
  let lost = 0;
  const { points } = mesh;
  for (let i = 0; i < points.length; i += 3) {
    if (allInside(grid, votes, points[i], points[i + 1], points[i + 2])) continue;
    const off = fresh.at(points[i], points[i + 1], points[i + 2]);
    if (off >= fresh.far) lost++;
    else distance = Math.max(distance, off);
  }
  return { distance, bridgedShare: (3 * bridged) / skin.points.length, lostShare: (3 * lost) / points.length };
}

/** Do all eight nodes round a place lie inside? Then what is there lies within the solid and has no skin of its own. */
function allInside({ from, cell, counts }: NodeGrid, votes: Int8Array, x: number, y: number, z: number): boolean {
  const [i, j, k] = [(x - from[0]) / cell, (y - from[1]) / cell, (z - from[2]) / cell].map(Math.floor);
  for (let n = 0; n < 8; n++) {
    const node = ((k + (n >> 2)) * counts[1] + j + ((n >> 1) & 1)) * counts[0] + i + (n & 1);
    if (votes[node] <= 0) return false;
  }
  return true;
}
