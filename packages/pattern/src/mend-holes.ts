/** The mending step that closes holes. */
import { plainNumber, type Steps } from '@oddside/core';
import { describeHole, type Hole } from './describe-loops.js';
import { coverRing } from './fill-loop.js';
import { findBounds } from './find-bounds.js';
import { integrateSurface } from './integrate-surface.js';
import { listEdges, nextHalfEdge, type EdgeTable } from './list-edges.js';
import type { MendState } from './mend-state.js';
import { refinePatch, smoothPatch } from './refine-patch.js';
import { traceOpenLoops, type OpenLoop } from './trace-open-loops.js';

/** A border this near to its plane, as a share of its span, is a flat cut and gets a flat lid, however large. */
const FLAT = 0.01;
/** Holes with fewer edges are covered as they are; larger ones are refined and smoothed. */
const FEW_EDGES = 8;

/** Closes the holes it dares to; says which it does not. Returns false when there was nothing to close. */
export function* fillHoles(state: MendState, largest: number): Steps<boolean> {
  const edges = listEdges(state.triangles, state.corners);
  yield 0.1;
  const loops = traceOpenLoops(state.triangles, edges);
  if (loops.length === 0) return false;
  const { min, max } = findBounds(state.positions);
  const limit = largest * Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
  yield 0.2;
  const { area } = integrateSurface(state.positions, state.triangles, min);
  yield 0.3;
  const filler = new HoleFiller(state, edges, loops);
  let filled = 0;
  let first: Hole | undefined;
  const left = new Map<string, Hole[]>();
  for (const [i, loop] of loops.entries()) {
    yield 0.4 + (0.4 * i) / loops.length;
    const hole = describeHole(state.positions, state.triangles, loop);
    const why = refusal(hole, loop, limit, area) ?? filler.fill(loop, hole);
    if (why === undefined) {
      filled++;
      first ??= hole;
      continue;
    }
    const others = left.get(why);
    if (others) others.push(hole);
    else left.set(why, [hole]);
  }
  filler.apply();
  yield 0.9;
  state.note('fill-holes', filled, `${filled} holes were closed with ${filler.made} new triangles.`, first?.where);
  for (const [why, holes] of left) {
    const largestOne = holes.reduce((a, b) => (b.length > a.length ? b : a));
    const around = `${plainNumber(largestOne.length)} mm around (${largestOne.edges} edges)`;
    state.findings.push({
      code: 'hole-left-open',
      severity: 'problem',
      message:
        holes.length === 1
          ? `A hole ${around} was left open: ${why}.`
          : `${holes.length} holes, the largest ${around}, were left open: for each, ${why}.`,
      where: largestOne.where,
      remedy: 'Close it where the object was modelled or scanned.',
    });
  }
  return filled > 0;
}

function refusal(hole: Hole, loop: OpenLoop, limit: number, area: number): string | undefined {
  if (!hole.ring) return 'its border does not close, as more than two triangles meet at an edge of it';
  const lone = (loop.halfEdges[0] / 3) | 0;
  if (loop.halfEdges.every((h) => ((h / 3) | 0) === lone)) return 'it is the border of a single loose triangle';
  // A lid is never larger than the rest of a closed surface; one as large lies flat on it.
  if (hole.areaMm2 > 0.95 * area) return 'it is the border of a sheet without thickness';
  if (hole.span > limit && hole.unevenness > FLAT) {
    return 'it is wide and not flat, so what belongs there would be a guess';
  }
  return undefined;
}

/** Plans the patches of all holes on the mesh as it is, then adds them at once. */
class HoleFiller {
  made = 0;
  readonly #state: MendState;
  readonly #edges: EdgeTable;
  readonly #existing: Set<number> = new Set();
  readonly #neighbours: Map<number, number[]> = new Map();
  readonly #newCorners: number[] = [];
  readonly #newTriangles: number[] = [];

  constructor(state: MendState, edges: EdgeTable, loops: readonly OpenLoop[]) {
    this.#state = state;
    this.#edges = edges;
    for (const loop of loops) for (const corner of loop.corners) this.#neighbours.set(corner, []);
    this.#listNeighbours();
  }

  /** Edges between border corners, and all neighbours of border corners. */
  #listNeighbours(): void {
    const { triangles, corners } = this.#state;
    const { halfEdges, starts, count } = this.#edges;
    for (let e = 0; e < count; e++) {
      const h = halfEdges[starts[e]];
      const a = triangles[h];
      const b = triangles[nextHalfEdge(h)];
      const atA = this.#neighbours.get(a);
      const atB = this.#neighbours.get(b);
      atA?.push(b);
      atB?.push(a);
      if (atA && atB) this.#existing.add(Math.min(a, b) * corners + Math.max(a, b));
    }
  }

  /** Covers one hole. Says why not, where it cannot. */
  fill(loop: OpenLoop, hole: Hole): string | undefined {
    const { positions, triangles, corners } = this.#state;
    // The patch runs the other way round than the triangles at the border do.
    const ring = triangles[loop.halfEdges[0]] === loop.corners[0] ? [...loop.corners].toReversed() : [...loop.corners];
    const points = new Float64Array(ring.length * 3);
    ring.forEach((corner, i) => points.set(positions.subarray(corner * 3, corner * 3 + 3), i * 3));
    const cover = coverRing(points, (i, j) => {
      const [a, b] = [ring[i], ring[j]];
      return this.#existing.has(Math.min(a, b) * corners + Math.max(a, b));
    });
    if (cover === undefined) return 'no skin over it was found that does not run into the rest';
    for (let i = 0; i < cover.length; i += 3) {
      for (const [p, q] of [
        [0, 1],
        [1, 2],
        [2, 0],
      ] as const) {
        const [a, b] = [ring[cover[i + p]], ring[cover[i + q]]];
        this.#existing.add(Math.min(a, b) * corners + Math.max(a, b));
      }
    }
    const simple = ring.length <= FEW_EDGES || hole.unevenness <= FLAT;
    const patch = { points: Array.from(points), triangles: [...cover] };
    const fine = simple ? patch : this.#refine(patch, ring);
    const base = corners + this.#newCorners.length / 3;
    const numberOf = (place: number): number => (place < ring.length ? ring[place] : base + place - ring.length);
    for (let i = ring.length * 3; i < fine.points.length; i++) this.#newCorners.push(fine.points[i]);
    for (const place of fine.triangles) this.#newTriangles.push(numberOf(place));
    this.made += fine.triangles.length / 3;
    return undefined;
  }

  #refine(
    patch: { points: number[]; triangles: number[] },
    ring: readonly number[],
  ): { points: number[]; triangles: number[] } {
    const { positions } = this.#state;
    const scale = ring.map((corner) => {
      const around = this.#neighbours.get(corner)!;
      const sum = around.reduce((total, near) => total + distance(positions, corner, near), 0);
      return sum / around.length;
    });
    const fine = refinePatch(patch, scale);
    // For smoothing the ring needs its neighbours in the mesh, which come after the patch's own corners.
    const all = fine.points.slice();
    const count = fine.points.length / 3;
    const links: number[][] = Array.from({ length: count }, () => []);
    const outside = new Map<number, number>();
    for (let h = 0; h < fine.triangles.length; h++) {
      const a = fine.triangles[h];
      const b = fine.triangles[h % 3 === 2 ? h - 2 : h + 1];
      if (!links[a].includes(b)) links[a].push(b);
      if (!links[b].includes(a)) links[b].push(a);
    }
    const placeOf = new Map(ring.map((corner, i) => [corner, i]));
    ring.forEach((corner, i) => {
      for (const near of this.#neighbours.get(corner)!) {
        let place = placeOf.get(near) ?? outside.get(near);
        if (place === undefined) {
          place = all.length / 3;
          outside.set(near, place);
          all.push(positions[near * 3], positions[near * 3 + 1], positions[near * 3 + 2]);
          links.push([]);
        }
        if (!links[i].includes(place)) links[i].push(place);
      }
    });
    const smooth = Float64Array.from(all);
    const movable = Array.from({ length: count - ring.length }, (_, i) => ring.length + i);
    smoothPatch(smooth, movable, links);
    return { points: Array.from(smooth.subarray(0, count * 3)), triangles: fine.triangles };
  }

  apply(): void {
    if (this.#newTriangles.length > 0) this.#state.append(this.#newCorners, this.#newTriangles);
  }
}

function distance(p: Float64Array, a: number, b: number): number {
  return Math.hypot(p[a * 3] - p[b * 3], p[a * 3 + 1] - p[b * 3 + 1], p[a * 3 + 2] - p[b * 3 + 2]);
}
