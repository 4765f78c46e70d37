/**
 * The tones of our pictures. Light blue and ochre differ to every kind of colour sight and, light against middle, in grey print;
 * what needs attention is dark and hatched, so that it shows without any colour at all.
 */

/** What a piece of surface is, as drawn. The numbers are places in {@link TONES}. */
export const TONE: Readonly<Record<'plain' | 'cope' | 'drag' | 'either' | 'dig' | 'held', number>> = Object.freeze({
  plain: 0,
  cope: 1,
  drag: 2,
  either: 3,
  dig: 4,
  held: 5,
});

/** How one tone is drawn. */
export interface Tone {
  /** In the legend. */
  readonly label: string;
  /** Red, green, blue, 0–255. */
  readonly rgb: readonly [number, number, number];
  /** Lines across it: none, or rising to the right (`/`), or crossed (`x`). */
  readonly hatch: '' | '/' | 'x';
}

/** Every tone, in the order of {@link TONE}. */
export const TONES: readonly Tone[] = Object.freeze([
  { label: 'the pattern', rgb: [214, 214, 208], hatch: '' },
  { label: 'leaves with the cope', rgb: [174, 212, 243], hatch: '' },
  { label: 'leaves with the drag', rgb: [190, 140, 60], hatch: '' },
  { label: 'wall: leaves with either', rgb: [240, 238, 230], hatch: '' },
  { label: 'past a flat joint: cope down to it, or use an odd-side', rgb: [74, 111, 152], hatch: '/' },
  { label: 'held: sand cannot leave here', rgb: [96, 24, 66], hatch: 'x' },
] as const satisfies readonly Tone[]);
