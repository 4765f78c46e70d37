/** The criteria of which side is up, with their reasons in words. */
import { dot, formatLength, formatShare, length, type UnitSystem, type Vec3 } from '@oddside/core';
import type { PartingWeights } from './parting-weights.js';
import { criterionMaker, type Criterion } from './score-draw.js';
import { sideShares, type SideFigures } from './which-side-up.js';

/**
 * The criteria of one way up, in the order of `PartingWeights`; the faces to be machined only where some were named.
 *
 * @param lowest Height of the lowest and the highest corner, mm along the draw from the file's origin.
 */
export function scoreSides(
  sides: SideFigures,
  draw: Vec3,
  lowest: number,
  highest: number,
  weights: PartingWeights,
  show: UnitSystem,
): Criterion[] {
  const make = criterionMaker(weights);
  const shares = sideShares(sides, draw, lowest, highest);
  const { fineDetail, machined, heavySection } = shares;
  const up = sides.detailShare > 0 ? fineDetail / sides.detailShare : 0;
  const below = heavySection * (highest - lowest);
  const criteria = [
    make(
      'fineDetail',
      'fine detail that faces up',
      fineDetail,
      '1',
      fineDetail,
      sides.detailShare === 0
        ? 'There is no fine detail to keep out of the dirt.'
        : `${formatShare(up, 2)} of the fine detail faces up into the cope, where dirt gathers; the rest faces down.`,
    ),
  ];
  if (sides.machined) {
    criteria.push(
      make(
        'machined',
        'faces to be machined that face up',
        machined,
        '1',
        machined,
        machinedWords(machined, length(sides.machined), dot(sides.machined, draw)),
      ),
    );
  }
  criteria.push(
    make(
      'heavySection',
      'heavy sections below the top',
      below,
      'mm',
      heavySection,
      sides.heavy === null
        ? 'No metal could be told from sand, so nothing is said of heavy sections.'
        : `The heavy sections, up to ${formatLength(sides.thickest, show, 2)} thick, have their middle ${formatLength(below, show, 2)} below the top: ${heavySection <= 0.55 ? 'a feeder in the cope reaches them' : 'they sit low, so feed them from the side or chill them'}.`,
    ),
  );
  return criteria;
}

function machinedWords(share: number, size: number, along: number): string {
  const angled = size > 0.9 ? '' : ' in the mean';
  if (along < -0.7) return `The faces to be machined look down into the drag${angled}, where the metal is cleanest.`;
  if (along > 0.7)
    return `The faces to be machined look up into the cope${angled}, where dirt gathers: leave more to machine off.`;
  return `The faces to be machined look sideways${angled} (${formatShare(share, 2)} of the way up); down in the drag they would be cleaner.`;
}
