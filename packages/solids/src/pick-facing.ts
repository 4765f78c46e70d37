/**
 * Which faces may have sand shut in between them: an upward face with metal somewhere above it, a downward face with
 * metal somewhere below. Found on a grid over the plan, on the safe side: a face that is picked needlessly costs a little
 * time, and none is missed, because every cell that a face's box touches is asked.
 */
import { FaceClipper } from './clip-faces.js';
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
  const kept = keepPairs(mesh, grid, up, down);
  const extreme = (t: number, cells: Float64Array, way: 1 | -1): number => {
    let best = -Infinity;
    overCells(mesh, grid, t, (cell) => {
      if (way * cells[cell] > best) best = way * cells[cell];
      return false;
    });
    return way * best;
  };
  return {
    ...kept,
    ceilings: Float32Array.from(kept.up, (t) => extreme(t, highestDown, 1)),
    floors: Float32Array.from(kept.down, (t) => extreme(t, lowestUp, -1)),
  };
}

/** Of faces that may face each other by their boxes, those that do: they overlap in plan, and there the downward one is higher. */
function keepPairs(
  mesh: FramedMesh,
  grid: PlanGrid,
  up: Uint32Array,
  down: Uint32Array,
): Pick<FacingFaces, 'up' | 'down'> {
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
  const faced = new Uint8Array(down.length);
  const seen = new Int32Array(down.length).fill(-1);
  const clipper = new FaceClipper(mesh);
  const keptUp = up.filter((t, k) => {
    let facing = false;
    overCells(mesh, grid, t, (cell) => {
      for (let e = heads[cell]; e >= 0; e = nexts[e]) {
        const d = which[e];
        if (seen[d] === k || (facing && faced[d])) continue;
        seen[d] = k;
        if (!clipper.gapBetween(t, down[d])) continue;
        facing = true;
        faced[d] = 1;
      }
      return false;
    });
    return facing;
  });
  return { up: keptUp, down: down.filter((_, k) => faced[k] === 1) };
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
