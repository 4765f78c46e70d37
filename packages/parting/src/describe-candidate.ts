/** What a candidate amounts to, in words. */
import { formatShare, formatVolume, type UnitSystem } from '@oddside/core';
import type { DrawAssessment } from './assess-draw.js';
import { NOTHING, type Criterion } from './score-draw.js';

/**
 * - `draws-flat`: leaves the sand with a flat joint.
 * - `draws-shaped`: leaves the sand when the joint follows the pattern (coping down, or an odd-side).
 * - `nearly-draws`: a smear of sand is held; fill the places or ease them.
 * - `held`: sand is held: a core, a loose piece, filling or another draw is needed.
 */
export type Verdict = 'draws-flat' | 'draws-shaped' | 'nearly-draws' | 'held';

/** Back draft up to this share of the volume counts as a smear (common practice, no source). */
export const SMEAR: number = 0.002;

/** The verdict on a draw. */
export function verdictOf(draw: DrawAssessment, volumeMm3: number): Verdict {
  const held = volumeMm3 > 0 ? draw.backDraftMm3 / volumeMm3 : 0;
  const misfit = volumeMm3 > 0 ? draw.flat.misfitMm3 / volumeMm3 : 0;
  if (held > SMEAR) return 'held';
  if (held > NOTHING) return 'nearly-draws';
  return misfit > NOTHING ? 'draws-shaped' : 'draws-flat';
}

/** The verdict and the reason for it. */
export function describeCandidate(
  draw: DrawAssessment,
  criteria: readonly Criterion[],
  volumeMm3: number,
  show: UnitSystem = 'metric',
): { verdict: Verdict; reason: string } {
  const verdict = verdictOf(draw, volumeMm3);
  const misfit = draw.flat.misfitMm3;
  const dig =
    misfit > NOTHING * volumeMm3
      ? ` With a flat joint ${formatVolume(misfit, show)} more is trapped; cope down to it or use an odd-side.`
      : ' A flat joint does.';
  const held = `${formatVolume(draw.backDraftMm3, show)} (${formatShare(volumeMm3 > 0 ? draw.backDraftMm3 / volumeMm3 : 0, 2)})`;
  const lead = {
    'draws-flat': 'Leaves the sand both ways with a flat joint.',
    'draws-shaped': `Leaves the sand both ways when the joint follows the pattern; a flat joint would trap ${formatVolume(misfit, show)}.`,
    'nearly-draws': `Nearly leaves the sand: ${held} is held in small hooks to fill or ease.${dig}`,
    held: `Sand is held: ${held} lies between metal above and below, whatever the joint.${dig}`,
  }[verdict];
  const costly = [...criteria].sort((a, b) => b.points - a.points)[0];
  const tail = costly && costly.points > 0 ? ` What costs it most: ${costly.label}.` : '';
  return { verdict, reason: lead + tail };
}
