/** Which tone of our pictures each class of surface is drawn in. */
import { TONE } from '@oddside/card';
import { SURFACE_CLASS } from '@oddside/parting';

const TONES_BY_CLASS: readonly number[] = (() => {
  const tones = Array.from<number>({ length: Object.keys(SURFACE_CLASS).length }).fill(TONE.plain);
  tones[SURFACE_CLASS.cope] = TONE.cope;
  tones[SURFACE_CLASS.wallCope] = TONE.cope;
  tones[SURFACE_CLASS.drag] = TONE.drag;
  tones[SURFACE_CLASS.wallDrag] = TONE.drag;
  tones[SURFACE_CLASS.wallFree] = TONE.either;
  tones[SURFACE_CLASS.wallHeld] = TONE.held;
  tones[SURFACE_CLASS.held] = TONE.held;
  tones[SURFACE_CLASS.wrongSide] = TONE.dig;
  return Object.freeze(tones);
})();

/** The tone of a class, by its code. */
export function toneOfClass(code: number): number {
  return TONES_BY_CLASS[code] ?? TONE.plain;
}
