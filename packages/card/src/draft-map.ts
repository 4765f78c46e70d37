/** A map of draft: how much taper each place has, darker where it is further short of what was asked. */
import { checkNumber, degrees, plainNumber } from '@oddside/core';
import type { ToneAt } from './paint-surface.js';
import type { Tone } from './tones.js';

/** What {@link draftMap} gives to `renderView` and `encodePicture`. */
export interface DraftMap {
  /** Hand it to `renderView` as `palette`, and to `encodePicture` as `legend`. */
  readonly palette: readonly Tone[];
  readonly toneAt: ToneAt;
}

/** Five steps of one hue, each clearly darker than the one before, so that the map survives a grey print. */
const STEPS: readonly Tone['rgb'][] = Object.freeze([
  [236, 233, 224],
  [186, 203, 214],
  [129, 158, 184],
  [77, 107, 146],
  [33, 48, 86],
]);
const HELD: Tone = Object.freeze({
  label: 'held: draft does not help here',
  rgb: Object.freeze([96, 24, 66] as const),
  hatch: 'x' as const,
});

/** Number of steps that are short of draft. */
const SHORT = STEPS.length - 1;

/**
 * Makes the map of a laid pattern (cope drawn along +z).
 *
 * @param requiredDeg Draft asked for, degrees, above 0 to 45.
 * @param heldAt Tells whether sand is held at a place, as `ToneAt` tells a tone. Default: nowhere.
 * @throws OddsideError `bad-number`.
 */
export function draftMap(requiredDeg: number, heldAt?: (...place: Parameters<ToneAt>) => boolean): DraftMap {
  checkNumber('requiredDeg (degrees)', requiredDeg, { min: 0, above: true, max: 45 });
  const edge = (step: number): string => plainNumber((requiredDeg * (SHORT - step)) / SHORT);
  const palette = STEPS.map((rgb, step): Tone => {
    const label =
      step === 0
        ? `draft of ${edge(0)}° or more`
        : step === SHORT
          ? `under ${edge(SHORT - 1)}°, or upright`
          : `${edge(step)}–${edge(step - 1)}°`;
    return { label, rgb, hatch: '' };
  });
  const toneAt: ToneAt = (x, y, z, nx, ny, nz, triangle) => {
    if (heldAt?.(x, y, z, nx, ny, nz, triangle)) return STEPS.length;
    const draftDeg = degrees(Math.asin(Math.min(1, Math.abs(nz) / (Math.hypot(nx, ny, nz) || 1))));
    return draftDeg >= requiredDeg ? 0 : Math.min(SHORT, 1 + Math.floor((1 - draftDeg / requiredDeg) * SHORT));
  };
  return { palette: [...palette, HELD], toneAt };
}
