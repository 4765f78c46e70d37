/** What the threads that help are asked, and what they answer. Everything here can be posted from thread to thread. */
import type { Vec3 } from '@oddside/core';
import type { DrawRules } from './draw-rules.js';
import type { JointLadder, JointLadderOptions } from './joint-ladder.js';
import type { TriedDraw } from './try-draw.js';

/** A pattern whose draws will be tried; the arrays may be shared, they are only read. */
export interface OpenPattern {
  readonly kind: 'open';
  /** What later messages call it. */
  readonly key: number;
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
}

/** What draws are judged by. */
export interface OpenRules {
  readonly kind: 'rules';
  readonly key: number;
  readonly rules: DrawRules;
}

/** A pattern, or rules, are no longer needed. */
export interface CloseKey {
  readonly kind: 'close';
  readonly key: number;
}

/** Draws to try: three numbers each. */
export interface TryDraws {
  readonly kind: 'try';
  readonly key: number;
  readonly rules: number;
  readonly columns: number;
  readonly directions: Float64Array;
}

/** A ladder of joints to measure, see `jointLadder`. */
export interface MeasureLadder {
  readonly kind: 'ladder';
  readonly key: number;
  readonly direction: Vec3;
  readonly options: Pick<JointLadderOptions, 'slopeLimitDeg' | 'columns' | 'margin' | 'along'>;
}

/** What is only told. */
export type ThreadNotice = OpenPattern | OpenRules | CloseKey;
/** What is asked and answered. */
export type ThreadQuestion = TryDraws | MeasureLadder;
/** What is answered: tried draws, {@link TRIED_STRIDE} numbers each in their order; or a ladder. */
export type ThreadAnswer<Q extends ThreadQuestion> = Q extends TryDraws ? Float64Array : JointLadder;

/** As it is posted; a question has a number by which its answer is known. */
export interface Posted {
  readonly number: number;
  readonly work: ThreadNotice | ThreadQuestion;
}

/** As it comes back; `failed` says why where nothing could be answered. */
export interface Returned {
  readonly number: number;
  readonly answer?: Float64Array | JointLadder;
  readonly failed?: string;
}

/** Numbers of a tried draw: its direction, what it passes, points, back draft, misfit. */
export const TRIED_STRIDE = 7;

/** Packs a tried draw. */
export function packTried(draw: TriedDraw, into: Float64Array, at: number): void {
  into.set([...draw.direction, draw.over, draw.points, draw.backDraftMm3, draw.misfitMm3], at * TRIED_STRIDE);
}

/** Unpacks one. */
export function unpackTried(from: Float64Array, at: number, origin: TriedDraw['from']): TriedDraw {
  const [x, y, z, over, points, backDraftMm3, misfitMm3] = from.subarray(at * TRIED_STRIDE, (at + 1) * TRIED_STRIDE);
  return { direction: [x, y, z], from: origin, over, points, backDraftMm3, misfitMm3, casts: 1 };
}

/** The directions of some draws in a row. */
export function packDirections(draws: readonly { readonly direction: Vec3 }[], from: number, to: number): Float64Array {
  const directions = new Float64Array(3 * (to - from));
  for (let i = from; i < to; i++) directions.set(draws[i].direction, 3 * (i - from));
  return directions;
}
