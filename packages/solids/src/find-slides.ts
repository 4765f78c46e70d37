/** Which trapped places a loose piece can free: columns propose a slide for each, exact solids prove it afterwards. */
import { dot } from '@oddside/core';
import { castColumns, checkLoosePiece, findHeldRegions, type HeldField, type LooseSlide } from '@oddside/parting';
import { patternOf } from './convert-body.js';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';
import { framedMeshOf } from './solid-mesh.js';
import { sortFaces } from './sort-faces.js';
import type { TrappedSide } from './trapped-places.js';

/** Columns across the room in which slides are sought. */
const COLUMNS = 128;

/** A slide that the columns propose, for a place. */
export interface ProposedSlide {
  readonly slide: LooseSlide;
  /** Width of a column: how far off the distance can be, mm. */
  readonly column: number;
}

/** Proposes a slide for each of some places of a side, `null` where there is none. Cost: one cast, and the tries of `checkLoosePiece`. */
export function proposeSlides(
  frame: DrawFrame,
  side: Pick<TrappedSide, 'piece' | 'room'>,
  places: readonly Body[],
): (ProposedSlide | null)[] {
  const pattern = patternOf(frame, side.room, 'The room of a loose piece');
  const field = castColumns(pattern, frame.d, COLUMNS);
  const held = findHeldRegions(pattern, field);
  return places.map((place) => {
    const region = regionOf(frame, held, place);
    const slide = region === null ? null : checkLoosePiece(held, region, [side.piece]);
    return slide && { slide, column: field.column };
  });
}

/** The region of the columns that most of a place's level faces lie in; `null` where the columns are too wide to see it. */
function regionOf(frame: DrawFrame, held: HeldField, place: Body): number | null {
  const { field, gapColumn, gapLow, gapHigh, gapRegion } = held;
  const gapsOf = new Map<number, number[]>();
  gapColumn.forEach((column, g) => {
    const list = gapsOf.get(column);
    if (list) list.push(g);
    else gapsOf.set(column, [g]);
  });
  const mesh = framedMeshOf(place);
  const { points: p, triangles } = mesh;
  const votes = new Map<number, number>();
  for (const t of sortFaces(mesh).up) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
    // A large face is asked at several places: its middle alone may lie over another gap, or over none.
    for (const [r, s, q] of SPOTS) {
      const at = (k: number): number => r * p[a + k] + s * p[b + k] + q * p[c + k];
      const point = outOfFrame(frame, at(0), at(1), at(2));
      const from = [0, 1, 2].map((k) => point[k] - field.origin[k]) as unknown as typeof point;
      const i = Math.round((dot(from, field.u) - field.u0) / field.column);
      const j = Math.round((dot(from, field.v) - field.v0) / field.column);
      if (i < 0 || j < 0 || i >= field.nu || j >= field.nv) continue;
      const height = dot(from, field.direction);
      for (const g of gapsOf.get(j * field.nu + i) ?? []) {
        if (height < gapLow[g] - field.column || height > gapHigh[g] + field.column) continue;
        const area = Math.abs((p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a]));
        votes.set(gapRegion[g], (votes.get(gapRegion[g]) ?? 0) + area);
      }
    }
  }
  let best: number | null = null;
  for (const [region, area] of votes) if (best === null || area > votes.get(best)!) best = region;
  return best;
}

/** Weights of a face's corners. */
const SPOTS: readonly (readonly [number, number, number])[] = Object.freeze([
  [1 / 3, 1 / 3, 1 / 3],
  [0.6, 0.2, 0.2],
  [0.2, 0.6, 0.2],
  [0.2, 0.2, 0.6],
]);
