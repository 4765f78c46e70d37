/** What the kernel made of a pattern on reading it, where that is not quite the pattern. */
import { formatVolume, type Finding } from '@oddside/core';
import type { PreparedDraw } from './prepare-draw.js';

/**
 * A finding where reading changed the volume by more than rounding can. Solids that were filled before have walls side by
 * side, nearer than 32 bits tell apart; there the kernel swaps faces, and halves made of it can tear a little sand.
 */
export function readingFindings({ readingMm3, errorMm3 }: Pick<PreparedDraw, 'readingMm3' | 'errorMm3'>): Finding[] {
  if (readingMm3 <= errorMm3 - readingMm3) return [];
  return [
    {
      code: 'read-with-loss',
      severity: 'warning',
      message: `The solids kernel could not tell some walls of the pattern apart: reading it changed its volume by ${formatVolume(readingMm3)}, which is counted in the error.`,
      remedy: 'Split the pattern as it came and not as it was filled: what its halves would tear is filled on the way.',
    },
  ];
}
