/** Short phrases that the card and the terminal share. */
import {
  degrees,
  formatMass,
  formatVolume,
  formatVolumeWithin,
  plainNumber,
  type UnitSystem,
  type Vec3,
} from '@oddside/core';
import type { PartingCandidate } from '@oddside/parting';

/** The answer to "will it draw?" in three words or so. */
export const VERDICT_WORDS: Readonly<Record<PartingCandidate['verdict'], string>> = Object.freeze({
  'draws-flat': 'Yes, with a flat joint',
  'draws-shaped': 'Yes, with a shaped joint',
  'nearly-draws': 'Nearly: ease a few places',
  held: 'No: sand is held',
});

/** How it lies in words: which axis of the file points up, and how far the draw leans off it and which way. */
export function describeLie(direction: Vec3): string {
  const named = direction
    .map((part, i) => ({ size: Math.abs(part), name: `${part < 0 ? '−' : '+'}${'xyz'[i]}` }))
    .sort((a, b) => b.size - a.size);
  const [up, towards] = named as [{ size: number; name: string }, { size: number; name: string }];
  const leanDeg = degrees(Math.acos(Math.min(1, up.size)));
  if (leanDeg < 0.05) return `${up.name} of the file up`;
  return `${up.name} of the file up, leaning ${plainNumber(leanDeg, 2)}° towards ${towards.name}`;
}

/** A volume with its error; an error that is only rounding is called what it is. */
export function volumeWords(volumeMm3: number, errorMm3: number, reliable: boolean, show: UnitSystem): string {
  const within = formatVolumeWithin(volumeMm3, errorMm3, show, 4);
  if (!reliable) return `${within}, not to be relied on`;
  return errorMm3 < 1e-6 * volumeMm3 ? `${formatVolume(volumeMm3, show, 4)}, exact for this mesh` : within;
}

/** The range of a mass, each end with its own unit: the low end may read in grams and the high one in kilograms. */
export const massRange = (mass: { low: number; high: number }, show: UnitSystem): string =>
  `${formatMass(mass.low, show)} to ${formatMass(mass.high, show)}`;
