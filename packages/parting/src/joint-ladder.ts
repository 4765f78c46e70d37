/**
 * The ladder of joints: flat, tilted, within a slope, free. Each may do all that the one before may, so none traps more sand
 * than the one before; side by side they say what a tilted board, an odd-side or a stepped joint is worth.
 *
 * All four are convex problems (geometry of two-part moulds, flat parting and its extensions), and each figure stands
 * beside a proven bound: no joint of that kind, on these columns, traps less than `leastMm3`.
 */
import {
  checkNumber,
  orAborted,
  resolveOptions,
  startPacing,
  type TaskOptions,
  unitVector,
  type Vec3,
} from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import type { CastScratch } from './cast-columns.js';
import { measureLadder } from './measure-ladder.js';
import { helpersIn, type PartingThreads } from './open-threads.js';

/** What {@link jointLadder} takes. */
export interface JointLadderOptions extends TaskOptions {
  /** Steepest slope of the tilted and the sloped joint, degrees, 1–80. Default 30 (common practice, no source). */
  readonly slopeLimitDeg: number;
  /** Columns across the shadow, 8–192. Default 96. */
  readonly columns: number;
  /** Sand between the shadow's box and the flask, mm: digging is counted so far out, at most 256 columns. Default 40 (common practice, no source). */
  readonly margin: number;
  /**
   * Threads of which one measures the ladder, see `openPartingThreads`, so that others or this one can do something else
   * meanwhile; the figures are the same bit for bit. Default: none, this thread measures it.
   */
  readonly threads: PartingThreads | undefined;
  /** From `makeScratch` with the same pattern: makes several ladders of one pattern quicker. Default: none. */
  readonly scratch: CastScratch | undefined;
  /** Line to follow the joints along, for a drawing of them. Default: none. */
  readonly along: LadderLine | undefined;
}

/** A line over which heights of the joints are given: its ends in the pattern's coordinates, mm, and how many places, 2–2000. */
export interface LadderLine {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly places: number;
}

/** Defaults of {@link jointLadder}. */
export const JOINT_LADDER_DEFAULTS: JointLadderOptions = Object.freeze({
  slopeLimitDeg: 30,
  columns: 96,
  margin: 40,
  threads: undefined,
  scratch: undefined,
  along: undefined,
  signal: undefined,
  onProgress: undefined,
});

/** One kind of joint at its best. */
export interface JointRung {
  readonly kind: 'flat' | 'tilted' | 'sloped' | 'free';
  /** Sand trapped, back draft included, and the proven least for any joint of this kind, mm³. */
  readonly trappedMm3: number;
  readonly leastMm3: number;
  /** Sand moved from the flat joint: what it no longer traps, and outside the pattern what lies between the two joints. */
  readonly dugMm3: number;
  /** Angle between the joint's plane and a level one, degrees; 0 for the others. */
  readonly tiltDeg: number;
  /** Heights of the joint at evenly spaced places of `along`, both ends included, mm along the draw from the file's origin; empty without it. */
  readonly profile: Float64Array;
}

/** The four rungs along one draw. */
export interface JointLadder {
  readonly direction: Vec3;
  /** Width of a column, mm. All four are measured on the same ones. */
  readonly column: number;
  readonly backDraftMm3: number;
  /** Flat, tilted, sloped, free: trapped sand never grows from one to the next. */
  readonly rungs: readonly [JointRung, JointRung, JointRung, JointRung];
}

/**
 * Measures the ladder of joints along a draw.
 *
 * @returns The four rungs. Cost: tens of ms where a joint within the slope misses nothing, up to a second where not.
 * @throws OddsideError `bad-direction`, `bad-number`, `bad-option`, `bad-pattern`; the signal's reason when aborted.
 */
export async function jointLadder(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<JointLadderOptions>,
): Promise<JointLadder> {
  const chosen = resolveOptions('jointLadder', JOINT_LADDER_DEFAULTS, options);
  checkNumber('slopeLimitDeg (degrees)', chosen.slopeLimitDeg, { min: 1, max: 80 });
  checkNumber('columns', chosen.columns, { min: 8, max: 192, whole: true });
  checkNumber('margin (mm)', chosen.margin, { min: 0, max: 10_000 });
  if (chosen.along) checkLine(chosen.along);
  unitVector(direction);
  checkPattern(pattern);
  const { signal, slopeLimitDeg, columns, margin, along } = chosen;
  if (!chosen.threads) return measureLadder(pattern, direction, chosen);
  const pacer = startPacing(chosen);
  const threads = helpersIn(chosen.threads);
  const toThread = { slopeLimitDeg, columns, margin, along };
  const key = threads.keyOf(pattern);
  const ladder = await orAborted(threads.ask({ kind: 'ladder', key, direction, options: toThread }), signal);
  pacer.finish();
  return ladder;
}

function checkLine({ from, to, places }: LadderLine): void {
  checkNumber('along.places', places, { min: 2, max: 2000, whole: true });
  for (let k = 0; k < 3; k++) {
    checkNumber(`along.from[${k}] (mm)`, from?.[k]);
    checkNumber(`along.to[${k}] (mm)`, to?.[k]);
  }
}
