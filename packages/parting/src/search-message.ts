/** What the search and its helpers in other threads say to each other. */
import type { Pattern } from '@oddside/pattern';
import type { DrawRules } from './draw-rules.js';
import type { TriedDraw } from './try-draw.js';

/** First message: what is searched. The arrays may be shared; they are only read. */
export interface OpenSearch {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly columns: number;
  readonly rules: DrawRules;
}

/** A batch of draws to try: three numbers each. */
export interface TryBatch {
  readonly batch: number;
  readonly directions: Float64Array;
}

/** The batch tried: {@link TRIED_STRIDE} numbers each, in the same order. */
export interface TriedBatch {
  readonly batch: number;
  readonly tried: Float64Array;
}

/** Numbers of a tried draw: its direction, what it passes, points, back draft, misfit. */
export const TRIED_STRIDE = 7;

/** A mesh as the cast wants it. */
export function patternOfSearch(open: OpenSearch): Pattern {
  const { positions, triangles } = open;
  return { name: '', positions, triangles, unit: { name: 'mm', from: 'caller' }, findings: [] };
}

/** Packs a tried draw. */
export function packTried(draw: TriedDraw, into: Float64Array, at: number): void {
  into.set([...draw.direction, draw.over, draw.points, draw.backDraftMm3, draw.misfitMm3], at * TRIED_STRIDE);
}

/** Unpacks one. */
export function unpackTried(from: Float64Array, at: number, origin: TriedDraw['from']): TriedDraw {
  const [x, y, z, over, points, backDraftMm3, misfitMm3] = from.subarray(at * TRIED_STRIDE, (at + 1) * TRIED_STRIDE);
  return { direction: [x, y, z], from: origin, over, points, backDraftMm3, misfitMm3, casts: 1 };
}
