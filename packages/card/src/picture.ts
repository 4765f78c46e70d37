/** A picture of the pattern, made without a graphics card, as the job carries it. */

/** One still picture with its place in the joint's own coordinates, so that lines and dimensions can be drawn over it. */
export interface Picture {
  /** Stable word: `lying`, `side`, `from-cope`, `from-drag`. */
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
  /** Places in `TONES` of the tones that can be seen. */
  readonly tones: readonly number[];
  /** PNG file, base64. */
  readonly png: string;
}
