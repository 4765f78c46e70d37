/**
 * A solid cut into pieces that fit a printer's bed, with holes for loose keys across every cut. Keys go where a trial
 * cylinder lies wholly in the metal on both sides of the cut, so that they never break out.
 */
import { OddsideError, checkNumber, type Finding } from '@oddside/core';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** What a printer takes, mm: two sides of its bed and its height. */
export interface PrinterBed {
  readonly length: number;
  readonly width: number;
  readonly height: number;
}

/** Pieces and the keys that join them, all in the frame. */
export interface CutPieces {
  readonly pieces: readonly Body[];
  /** Loose keys as they lie in the holes; smaller than the holes by the clearance. */
  readonly keys: readonly Body[];
  readonly findings: readonly Finding[];
}

/** Checks a bed. @throws OddsideError `bad-number`. */
export function checkBed(bed: PrinterBed): void {
  for (const side of ['length', 'width', 'height'] as const) {
    checkNumber(`bed.${side} (mm)`, bed?.[side], { min: 10, max: 1e5 });
  }
}

/** Keys are as thick as this share of the smallest side of a cut, within limits; mm. */
const KEY = Object.freeze({ share: 0.15, thinnest: 3, thickest: 10, wall: 1.5 });
/** More cuts than this are a mistake in the sizes, not a wish. */
const MOST_PIECES = 200;

/** Cuts a body along the frame's axes into equal parts that fit the bed. */
export function cutToBed(scope: Scope, body: Body, bed: PrinterBed, clearance: number): CutPieces {
  const { min, max } = body.boundingBox();
  const limits = [bed.length, bed.width, bed.height];
  const counts = limits.map((limit, k) => Math.max(1, Math.ceil((max[k] - min[k]) / limit - 1e-9)));
  if (counts[0] * counts[1] * counts[2] > MOST_PIECES) {
    throw new OddsideError(
      'infeasible',
      `The solid would fall into ${counts.join(' × ')} pieces on this bed; at most ${MOST_PIECES} were expected. Check the sizes, all in mm.`,
    );
  }
  let pieces = [body];
  const keys: Body[] = [];
  const findings: Finding[] = [];
  for (let axis = 0; axis < 3; axis++) {
    for (let n = 1; n < counts[axis]; n++) {
      const place = min[axis] + ((max[axis] - min[axis]) * n) / counts[axis];
      const cut = cutOnce(scope, pieces, axis, place, clearance);
      pieces = cut.pieces;
      keys.push(...cut.keys);
      if (cut.bare) findings.push(bareCut(axis, place));
    }
  }
  return { pieces, keys, findings };
}

function cutOnce(
  scope: Scope,
  pieces: readonly Body[],
  axis: number,
  place: number,
  clearance: number,
): { pieces: Body[]; keys: Body[]; bare: boolean } {
  const out: Body[] = [];
  const keys: Body[] = [];
  let bare = false;
  const normal: [number, number, number] = [0, 0, 0];
  normal[axis] = 1;
  const back = normal.map((c) => -c) as [number, number, number];
  for (const piece of pieces) {
    const { min, max } = piece.boundingBox();
    if (min[axis] >= place || max[axis] <= place) {
      out.push(piece);
      continue;
    }
    const found = findKeys(scope, piece, axis, place, clearance);
    if (found.length === 0) bare = true;
    let holed = piece;
    for (const key of found) {
      keys.push(keyBody(scope, key, axis, place, 0));
      holed = scope.cut(holed, keyBody(scope, key, axis, place, clearance));
    }
    out.push(scope.trim(holed, normal, place), scope.trim(holed, back, -place));
  }
  return { pieces: out.filter((piece) => !piece.isEmpty()), keys, bare };
}

interface Key {
  /** Place on the two other axes, in their order. */
  readonly at: readonly [number, number];
  readonly radius: number;
}

/** Tries places on a grid over the cut and keeps the two farthest apart of those that lie in the metal. */
function findKeys(scope: Scope, piece: Body, axis: number, place: number, clearance: number): Key[] {
  const others = [0, 1, 2].filter((k) => k !== axis);
  const reach = 2 * KEY.thickest + KEY.wall + 1;
  const normal: [number, number, number] = [0, 0, 0];
  normal[axis] = 1;
  const upper = scope.trim(piece, normal, place - reach);
  const slab = scope.trim(upper, normal.map((c) => -c) as [number, number, number], -(place + reach));
  scope.free(upper);
  const { min, max } = slab.boundingBox();
  const sides = others.map((k) => max[k] - min[k]);
  const widest = Math.min(KEY.thickest, KEY.share * Math.min(...sides));
  for (let thickness = Math.max(KEY.thinnest, widest); thickness >= KEY.thinnest; thickness *= 0.6) {
    const radius = thickness / 2;
    const fits: Key[] = [];
    const steps = sides.map((side) => Math.min(12, Math.max(3, Math.round(side / (2 * thickness)))));
    for (let i = 0; i < steps[0]; i++) {
      for (let j = 0; j < steps[1]; j++) {
        const at = [
          min[others[0]] + (sides[0] * (i + 0.5)) / steps[0],
          min[others[1]] + (sides[1] * (j + 0.5)) / steps[1],
        ] as const;
        const room = keyBody(scope, { at, radius }, axis, place, clearance + KEY.wall);
        const outside = scope.cut(room, slab);
        if (outside.volume() <= 1e-6 * room.volume()) fits.push({ at, radius });
        scope.free(room);
        scope.free(outside);
      }
    }
    if (fits.length > 0) return farthestTwo(fits);
  }
  return [];
}

function farthestTwo(fits: readonly Key[]): Key[] {
  let pair: Key[] = [fits[0]];
  let most = 4 * fits[0].radius;
  for (const a of fits) {
    for (const b of fits) {
      const apart = Math.hypot(a.at[0] - b.at[0], a.at[1] - b.at[1]);
      if (apart > most) [pair, most] = [[a, b], apart];
    }
  }
  return pair;
}

/** A key: a square bar on its edge prints without supports, but a round one is sold by the metre. Round, then. */
function keyBody(scope: Scope, { at, radius }: Key, axis: number, place: number, more: number): Body {
  const cylinder = scope.own(
    scope.kernel.Manifold.cylinder(4 * radius + 2 * more, radius + more, radius + more, 32, true),
  );
  const turned = axis === 2 ? cylinder : scope.own(cylinder.rotate(axis === 0 ? [0, 90, 0] : [90, 0, 0]));
  const to: [number, number, number] = [0, 0, 0];
  to[axis] = place;
  [0, 1, 2].filter((k) => k !== axis).forEach((k, n) => (to[k] = at[n]));
  return scope.move(turned, to);
}

function bareCut(axis: number, place: number): Finding {
  return {
    code: 'cut-without-keys',
    severity: 'warning',
    message: `The cut across axis ${axis + 1} at ${place.toFixed(1)} mm is too thin for a key of ${KEY.thinnest} mm; its pieces must be glued by eye.`,
    remedy: 'Glue these pieces on a flat board, or use a larger bed.',
  };
}
