/** A picture of the pattern, made without a graphics card, as the job carries it. */

import type { Tone } from './tones.js';

/** One still picture with its place in the joint's own coordinates, so that lines and dimensions can be drawn over it. */
export interface Picture {
  /**
   * Stable word: `lying`, `side`, `from-cope`, `from-drag`; `draft` and `draft-under` for maps of draft; `way-1`, `way-2` and
   * so on for the candidates of those ranks.
   */
  readonly id: string;
  readonly title: string;
  /** What can be seen, for someone who cannot see it. */
  readonly alt: string;
  readonly widthPx: number;
  readonly heightPx: number;
  /** Millimetres of the pattern per pixel; the same across and up. */
  readonly mmPerPx: number;
  /** Place of the picture's left edge and of its top edge, mm in the picture's plane. Up is positive. */
  readonly left: number;
  readonly top: number;
  /** Places in `legend`, or in `TONES` where there is none, of the tones that can be seen. */
  readonly tones: readonly number[];
  /** What the picture's tones mean, where they are not those of `TONES`. */
  readonly legend?: readonly Tone[];
  /** PNG file, base64. */
  readonly png: string;
}
