/** Looks for a lay-out of outlines in a room: many orders, three ways to fill, more turns where the first do not do. */
import type { Steps } from '@oddside/core';
import { layInOrder, type LayingRule, type Packing, type Piece, type Room } from './pack-outlines.js';
import { type Outline, paddedArea } from './plan-outline.js';
import { roundOutline, turnsOf } from './turn-outlines.js';

/** A lay-out with the size of the box it takes, mm. */
export interface FoundPacking extends Packing {
  readonly length: number;
  readonly width: number;
}

/** What the search goes through. */
export interface PackingSearch {
  readonly pieces: readonly Piece[];
  /** The same with more turns. */
  readonly morePieces: readonly Piece[];
  readonly margin: number;
  /** Orders to begin with: by area, by length, by width, by reach; the largest first. */
  readonly orders: readonly (readonly number[])[];
}

/** Widths of room tried for a lay-out of no set length. */
const LOOSE_WIDTHS = 8;
const RULES: readonly LayingRule[] = ['along', 'up', 'corners'];

/** @param partOf Which outline each piece has. */
export function readySearch(outlines: readonly Outline[], partOf: readonly number[], margin: number): PackingSearch {
  const round = outlines.map(roundOutline);
  const turns = round.map((outline) => turnsOf(outline, false));
  const more = round.map((outline) => turnsOf(outline, true));
  const pieces = partOf.map((part) => turns[part]!);
  const first = (piece: number): { length: number; width: number } => pieces[piece]![0]!;
  const sizes: ((piece: number) => number)[] = [
    (piece) => paddedArea(round[partOf[piece]!]!, margin / 2),
    (piece) => Math.max(first(piece).length, first(piece).width),
    (piece) => Math.min(first(piece).length, first(piece).width),
    (piece) => first(piece).length + first(piece).width,
  ];
  return {
    pieces,
    morePieces: partOf.map((part) => more[part]!),
    margin,
    orders: sizes.map((size) => partOf.map((_, piece) => piece).sort((a, b) => size(b) - size(a) || a - b)),
  };
}

/** Lay-outs in rooms of several widths and no set length. */
export function* layLoose(search: PackingSearch): Steps<FoundPacking[]> {
  const { pieces, margin, orders } = search;
  const narrowest = Math.max(...pieces.map((piece) => Math.min(...piece.map((turned) => turned.width))));
  const area = pieces.reduce((sum, [turned]) => sum + (turned!.length + margin) * (turned!.width + margin), 0);
  const widest = Math.max(narrowest, 1.5 * Math.sqrt(area), ...pieces.map((piece) => piece[0]!.length));
  const found: FoundPacking[] = [];
  for (let k = 0; k < LOOSE_WIDTHS; k++) {
    const width = narrowest + ((widest - narrowest) * k) / (LOOSE_WIDTHS - 1);
    const steps = layInOrder(pieces, { length: Infinity, width }, margin, orders[0]!);
    found.push(measured(yield* within(steps, k / LOOSE_WIDTHS, (k + 1) / LOOSE_WIDTHS)));
  }
  return found;
}

/** The fullest lay-out found in a room; the first that takes everything ends the search. */
export function* layIn(search: PackingSearch, room: Room, tries: number): Steps<FoundPacking> {
  const { orders, margin } = search;
  let best: FoundPacking | undefined;
  let state = 1;
  const shuffled = (order: readonly number[]): number[] => {
    const mixed = [...order];
    for (let i = mixed.length - 1; i > 0; i--) {
      // A linear congruence with a fixed start: the same lay-out every time.
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      const j = Math.floor((state / 2 ** 32) * (i + 1));
      [mixed[i], mixed[j]] = [mixed[j]!, mixed[i]!];
    }
    return mixed;
  };
  for (let k = 0; k < tries; k++) {
    const round = Math.floor(k / RULES.length);
    const rule = RULES[k % RULES.length]!;
    const order = orders[round] ?? shuffled(orders[0]!);
    const pieces = round % 2 === 0 ? search.pieces : search.morePieces;
    const packing = measured(yield* within(layInOrder(pieces, room, margin, order, rule), k / tries, (k + 1) / tries));
    if (packing.left.length === 0) return packing;
    if (best === undefined || packing.left.length < best.left.length) best = packing;
  }
  return best!;
}

/** Of lay-outs that go in a room whole, the one with most to spare at its tightest. */
export function roomiest(packings: readonly FoundPacking[], room: Room): FoundPacking | undefined {
  const spare = (packing: FoundPacking): number => Math.min(room.length - packing.length, room.width - packing.width);
  return packings
    .filter((packing) => packing.left.length === 0 && spare(packing) >= -1e-9)
    .reduce<FoundPacking | undefined>((a, b) => (a === undefined || spare(b) > spare(a) + 1e-9 ? b : a), undefined);
}

/** A lay-out with the box it takes. */
export const measured = (packing: Packing): FoundPacking => ({
  ...packing,
  length: packing.laid.reduce((most, { x, turned }) => Math.max(most, x + turned.length), 0),
  width: packing.laid.reduce((most, { y, turned }) => Math.max(most, y + turned.width), 0),
});

/** A part of the work as a part of the whole. */
export function* within<T>(steps: Steps<T>, from: number, to: number): Steps<T> {
  let next = steps.next();
  while (!next.done) {
    yield from + (to - from) * next.value;
    next = steps.next();
  }
  return next.value;
}
