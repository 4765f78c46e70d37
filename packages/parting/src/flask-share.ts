/** What patterns that share a flask are told by, and how they lie in it. */
import type { TaskOptions, Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { FIT_FLASK_DEFAULTS, type FitFlaskOptions, type FlaskSize } from './fit-flask.js';
import type { Outline, PlanPoint } from './plan-outline.js';

/** One pattern that shall share a flask. */
export interface PatternToLay {
  readonly pattern: Pattern;
  /** Draw of its cope half. */
  readonly direction: Vec3;
  /** Height of its joint, mm along the draw from the file's origin; all joints lie in the flask's one. */
  readonly joint: number;
  /** How many of it, 1–100. Default 1. */
  readonly copies?: number;
  /** What to call it in sentences. Default: the pattern's name. */
  readonly name?: string;
}

/** What `shareFlask` takes: the margins of `fitFlask`, and how hard to try. */
export interface ShareFlaskOptions extends Omit<FitFlaskOptions, 'copies'>, TaskOptions {
  /** Orders of laying tried for a flask that is not yet filled, 1–1000. Default 24. */
  readonly tries: number;
}

/** Defaults of `shareFlask`. */
export const SHARE_FLASK_DEFAULTS: ShareFlaskOptions = Object.freeze({
  wallMargin: FIT_FLASK_DEFAULTS.wallMargin,
  aboveMargin: FIT_FLASK_DEFAULTS.aboveMargin,
  belowMargin: FIT_FLASK_DEFAULTS.belowMargin,
  betweenMargin: FIT_FLASK_DEFAULTS.betweenMargin,
  sprueRoom: FIT_FLASK_DEFAULTS.sprueRoom,
  tries: 24,
  signal: undefined,
  onProgress: undefined,
});

/** Where one pattern lies. */
export interface LaidPattern {
  /** Index of its part, and which of the copies, from 1. */
  readonly part: number;
  readonly copy: number;
  /** Turn in plan, degrees 0–360, from {@link FlaskShare.along} of its part; right-handed about its draw. */
  readonly turnDeg: number;
  /** Added after the turn, mm. */
  readonly shift: PlanPoint;
  /** Its outline in the flask, mm from the inside corner, x along; the sprue's room is at the far end. */
  readonly outline: Outline;
}

/** A flask that takes them all. */
export interface SharedFlask {
  readonly flask: FlaskSize;
  readonly laid: readonly LaidPattern[];
  /** Room left over along and across beyond what is laid, above and below, after all margins, mm. */
  readonly spare: { readonly length: number; readonly width: number; readonly cope: number; readonly drag: number };
  /** Volume of sand and patterns in it, mm³: what flasks are compared by. */
  readonly volumeMm3: number;
}

/** A flask that does not. */
export interface UnsharedFlask {
  readonly flask: FlaskSize;
  /** In words. */
  readonly reason: string;
  /** True where no arrangement can fit; false where none was found. */
  readonly proved: boolean;
  /** Indices of the parts that stay out of the fullest lay-out found, one entry a copy; empty if only the depth fails. */
  readonly left: readonly number[];
}

/** What fits. */
export interface FlaskShare {
  /** The smallest flask by volume, or `null` where none will do. */
  readonly best: SharedFlask | null;
  /** All that fit, smallest first. */
  readonly fits: readonly SharedFlask[];
  readonly misfits: readonly UnsharedFlask[];
  /** Inside size of a flask that would do, mm, the least plan area found; one of your own that fits may be smaller. */
  readonly needed: {
    readonly length: number;
    readonly width: number;
    readonly copeDepth: number;
    readonly dragDepth: number;
  };
  /** For each part, the direction in its joint from which its turns are counted, unit vector. */
  readonly along: readonly Vec3[];
}
