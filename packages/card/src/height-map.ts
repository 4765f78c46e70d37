/** Heights above and below the joint in bands: paler towards the joint, two hues for the two halves. */
import type { Tone } from './tones.js';

/** Bands from the deepest in the drag to the highest in the cope. */
export const HEIGHT_TONES: readonly Tone[] = Object.freeze([
  { label: 'drag, deepest third', rgb: [128, 88, 22], hatch: '' },
  { label: 'drag, middle third', rgb: [190, 146, 72], hatch: '' },
  { label: 'drag, third next to the joint', rgb: [232, 206, 158], hatch: '' },
  { label: 'cope, third next to the joint', rgb: [198, 221, 240], hatch: '' },
  { label: 'cope, middle third', rgb: [120, 165, 205], hatch: '' },
  { label: 'cope, highest third', rgb: [47, 92, 140], hatch: '' },
] as const satisfies readonly Tone[]);

/** The place in {@link HEIGHT_TONES} of each height over the joint, mm. */
export function heightBands(heights: ArrayLike<number>): Uint8Array {
  let low = 0;
  let high = 0;
  for (let i = 0; i < heights.length; i++) {
    low = Math.min(low, heights[i]);
    high = Math.max(high, heights[i]);
  }
  const bands = new Uint8Array(heights.length);
  for (let i = 0; i < heights.length; i++) {
    const share = heights[i] >= 0 ? heights[i] / (high || 1) : heights[i] / (low || -1);
    const third = Math.min(2, Math.floor(share * 3));
    bands[i] = heights[i] >= 0 ? 3 + third : 2 - third;
  }
  return bands;
}
