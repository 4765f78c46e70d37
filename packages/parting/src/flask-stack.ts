/** Mould parts stacked along a draw. */
import type { Finding } from '@oddside/core';

/** One part of the stack. */
export interface FlaskPart {
  readonly role: 'drag' | 'cheek' | 'cope';
  /** Heights of its joints, or of the pattern's end, mm along the draw from the file's origin. */
  readonly low: number;
  readonly high: number;
  /** Which way its piece of pattern leaves it. */
  readonly draws: 'up' | 'down' | 'either';
}

/** A stack of mould parts, lowest first. */
export interface FlaskStack {
  /** Number of parts, drag and cope included; at least 2. */
  readonly count: number;
  readonly parts: readonly FlaskPart[];
  /** True where the whole pattern lies in the drag and the cope is left flat (an open mould would do). */
  readonly flatBacked: boolean;
  /** Joints are right to within this height, mm; what is thinner may have been missed. */
  readonly resolution: number;
  readonly column: number;
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}
