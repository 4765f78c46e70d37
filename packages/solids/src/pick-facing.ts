/**
 * Which faces may have sand shut in between them: an upward face with metal somewhere above it, a downward face with
 * metal somewhere below. Found on a grid over the plan, on the safe side: a face that is picked needlessly costs a little
 * time, and none is missed, because every cell that a face's box touches is asked.
 */
import { FaceClipper } from './clip-faces.js';
import { SandReach } from './sand-reach.js';
import type { FramedMesh } from './draw-frame.js';
import type { FaceSides } from './sort-faces.js';

interface PlanGrid {
  readonly x0: number;
  readonly y0: number;
  readonly nx: number;
  readonly ny: number;
  readonly perCell: number;
}

/** The pairs of sides that face each other with a gap between. */
export interface FacingFaces {
  readonly up: Uint32Array;
  readonly down: Uint32Array;
  /** For each upward face a height that no downward face over it passes; for each downward face one no lower than any under it. */
  readonly ceilings: Float32Array;
  readonly floors: Float32Array;
}

/** Picks the faces. Cost: two passes over the faces and the cells they touch. */
export function pickFacing(mesh: FramedMesh, sides: FaceSides): FacingFaces {
  const grid = planGrid(mesh);
  const lowestUp = new Float64Array(grid.nx * grid.ny).fill(Infinity);
  const highestDown = new Float64Array(grid.nx * grid.ny).fill(-Infinity);
  const { points, triangles } = mesh;
  const low = (t: number): number =>
    Math.min(
      points[triangles[3 * t] * 3 + 2],
      points[triangles[3 * t + 1] * 3 + 2],
      points[triangles[3 * t + 2] * 3 + 2],
    );
  const high = (t: number): number =>
    Math.max(
      points[triangles[3 * t] * 3 + 2],
      points[triangles[3 * t + 1] * 3 + 2],
      points[triangles[3 * t + 2] * 3 + 2],
    );
  for (const t of sides.up) {
    const z = low(t);
    overCells(mesh, grid, t, (cell) => {
      if (z < lowestUp[cell]) lowestUp[cell] = z;
      return false;
    });
  }
  for (const t of sides.down) {
    const z = high(t);
    overCells(mesh, grid, t, (cell) => {
      if (z > highestDown[cell]) highestDown[cell] = z;
      return false;
    });
  }
  const up = sides.up.filter((t) => {
    const z = low(t);
    return overCells(mesh, grid, t, (cell) => highestDown[cell] > z);
  });
  const down = sides.down.filter((t) => {
    const z = high(t);
    return overCells(mesh, grid, t, (cell) => lowestUp[cell] < z);
  });
  return pairFacing(mesh, grid, up, down);
}

/** Pairs of faces that face each other with a gap, as two lists of equal length: places in `up` and in `down`. */
interface Pairs {
  readonly ups: Uint32Array;
  readonly downs: Uint32Array;
}

/**
 * Of faces that may face each other by their boxes, those that do: they overlap in plan, and there the downward one is
 * higher. Each with the height that the sand against it reaches, no farther: beyond that lies metal, or sand of others.
 */
function pairFacing(mesh: FramedMesh, grid: PlanGrid, up: Uint32Array, down: Uint32Array): FacingFaces {
  const pairs = listPairs(mesh, grid, up, down);
  const reach = new SandReach(mesh);
  const ceilings = reachOf(pairs.ups, pairs.downs, up.length, (k, others) => reach.over(up[k], others, down, 1));
  const floors = reachOf(pairs.downs, pairs.ups, down.length, (k, others) => reach.over(down[k], others, up, -1));
  const faced =
    (reaches: Float32Array) =>
    (_: number, k: number): boolean =>
      !Number.isNaN(reaches[k]);
  return {
    up: up.filter(faced(ceilings)),
    down: down.filter(faced(floors)),
    ceilings: ceilings.filter((z) => !Number.isNaN(z)),
    floors: floors.filter((z) => !Number.isNaN(z)),
  };
}

/** Asks for each face that has others facing it how far its sand reaches; NaN for the rest. */
function reachOf(
  own: Uint32Array,
  other: Uint32Array,
  count: number,
  ask: (k: number, others: Uint32Array) => number,
): Float32Array {
  const starts = new Uint32Array(count + 1);
  for (const k of own) starts[k + 1]++;
  for (let k = 0; k < count; k++) starts[k + 1] += starts[k];
  const places = starts.slice();
  const list = new Uint32Array(own.length);
  for (let p = 0; p < own.length; p++) list[places[own[p]]++] = other[p];
  return Float32Array.from({ length: count }, (_, k) =>
    starts[k] === starts[k + 1] ? NaN : ask(k, list.subarray(starts[k], starts[k + 1])),
  );
}

function listPairs(mesh: FramedMesh, grid: PlanGrid, up: Uint32Array, down: Uint32Array): Pairs {
  const heads = new Int32Array(grid.nx * grid.ny).fill(-1);
  const nexts: number[] = [];
  const which: number[] = [];
  down.forEach((t, k) =>
    overCells(mesh, grid, t, (cell) => {
      nexts.push(heads[cell]);
      heads[cell] = which.push(k) - 1;
      return false;
    }),
  );
  const seen = new Int32Array(down.length).fill(-1);
  const clipper = new FaceClipper(mesh);
  const ups: number[] = [];
  const downs: number[] = [];
  up.forEach((t, k) =>
    overCells(mesh, grid, t, (cell) => {
      for (let e = heads[cell]; e >= 0; e = nexts[e]) {
        const d = which[e];
        if (seen[d] === k) continue;
        seen[d] = k;
        if (!clipper.gapBetween(t, down[d])) continue;
        ups.push(k);
        downs.push(d);
      }
      return false;
    }),
  );
  return { ups: Uint32Array.from(ups), downs: Uint32Array.from(downs) };
}

function planGrid({ box, triangles }: FramedMesh): PlanGrid {
  const wide = box.max[0] - box.min[0];
  const deep = box.max[1] - box.min[1];
  const cells = Math.max(16, Math.min(1024, Math.ceil(Math.sqrt(triangles.length / 3))));
  const cell = Math.max(wide, deep, 1e-30) / cells;
  const nx = Math.max(1, Math.ceil(wide / cell));
  const ny = Math.max(1, Math.ceil(deep / cell));
  return { x0: box.min[0], y0: box.min[1], nx, ny, perCell: 1 / cell };
}

/** Asks every cell that the box of a face touches, until one answers true. */
function overCells(mesh: FramedMesh, grid: PlanGrid, t: number, ask: (cell: number) => boolean): boolean {
  const { points: p, triangles } = mesh;
  const a = triangles[3 * t] * 3;
  const b = triangles[3 * t + 1] * 3;
  const c = triangles[3 * t + 2] * 3;
  const { x0, y0, nx, ny, perCell } = grid;
  const clamp = (value: number, most: number): number => (value < 0 ? 0 : value > most ? most : value) | 0;
  const i0 = clamp((Math.min(p[a], p[b], p[c]) - x0) * perCell, nx - 1);
  const i1 = clamp((Math.max(p[a], p[b], p[c]) - x0) * perCell, nx - 1);
  const j0 = clamp((Math.min(p[a + 1], p[b + 1], p[c + 1]) - y0) * perCell, ny - 1);
  const j1 = clamp((Math.max(p[a + 1], p[b + 1], p[c + 1]) - y0) * perCell, ny - 1);
  for (let j = j0; j <= j1; j++) {
    for (let i = i0; i <= i1; i++) if (ask(j * nx + i)) return true;
  }
  return false;
}
