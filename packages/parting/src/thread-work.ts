/** What the threads that help are asked, and what they answer. Everything here can be posted from thread to thread. */
import type { Vec3 } from '@oddside/core';
import type { AssessDrawOptions, DrawAssessment } from './assess-draw.js';
import type { DrawRules } from './draw-rules.js';
import type { AxesSurvey, OwnAxis } from './find-own-axes.js';
import type { JointLadder, JointLadderOptions } from './joint-ladder.js';
import type { SidesSurveyed } from './survey-sides.js';
import type { SurfaceSurvey } from './survey-surface.js';
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

/** Which side is up, to be surveyed, see `surveySides`. */
export interface SurveySides {
  readonly kind: 'sides';
  readonly key: number;
  readonly survey: Pick<SurfaceSurvey, 'centroid' | 'size'>;
}

/** The pattern's own axes, to be found, see `findOwnAxes`. */
export interface FindAxes {
  readonly kind: 'axes';
  readonly key: number;
  readonly survey: AxesSurvey;
}

/** A draw to assess, see `assessDraw`. */
export interface AssessDraw {
  readonly kind: 'assess';
  readonly key: number;
  readonly direction: Vec3;
  readonly options: AssessDrawOptions;
}

/** What is only told. */
export type ThreadNotice = OpenPattern | OpenRules | CloseKey;
/** What is asked and answered. */
export type ThreadQuestion = TryDraws | MeasureLadder | SurveySides | FindAxes | AssessDraw;
/** What is answered, by the kind of question; to `try` tried draws, {@link TRIED_STRIDE} numbers each in their order. */
export interface ThreadAnswers {
  readonly try: Float64Array;
  readonly ladder: JointLadder;
  readonly sides: SidesSurveyed;
  readonly axes: OwnAxis[];
  readonly assess: DrawAssessment;
}

/** As it is posted; a question has a number by which its answer is known. */
export interface Posted {
  readonly number: number;
  readonly work: ThreadNotice | ThreadQuestion;
}

/** As it comes back; `failed` says why where nothing could be answered. */
export interface Returned {
  readonly number: number;
  readonly answer?: ThreadAnswers[keyof ThreadAnswers];
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

/** The directions of draws in a row. */
export function packDirections(draws: readonly { readonly direction: Vec3 }[]): Float64Array {
  const directions = new Float64Array(3 * draws.length);
  for (const [i, { direction }] of draws.entries()) directions.set(direction, 3 * i);
  return directions;
}
