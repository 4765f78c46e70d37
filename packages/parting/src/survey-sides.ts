/** What of a pattern decides which side is up, and how much metal there is: measured once, before draws are compared. */
import { drainSteps, type Steps } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import { findFineDetail } from './find-fine-detail.js';
import { findHeavySection } from './find-heavy-section.js';
import { sumColumns } from './measure-columns.js';
import type { SurfaceSurvey } from './survey-surface.js';
import type { SideFigures } from './which-side-up.js';

/** The figures, without the faces to be machined, which only the founder knows. */
export interface SidesSurveyed extends Omit<SideFigures, 'machined'> {
  /** Volume of the pattern as columns see it along an odd direction: holes in a scan do not upset it as they do integrals. */
  readonly volumeMm3: number;
}

/** Measures them. Cost: about 0.3 µs a triangle and 20 ms. */
export function surveySides(
  pattern: Pattern,
  survey: Pick<SurfaceSurvey, 'centroid' | 'size'>,
  scratch: CastScratch,
): SidesSurveyed {
  return drainSteps(sidesSteps(pattern, survey, scratch));
}

/** The same in pieces. */
export function* sidesSteps(
  pattern: Pattern,
  survey: Pick<SurfaceSurvey, 'centroid' | 'size'>,
  scratch: CastScratch,
): Steps<SidesSurveyed> {
  const sums = sumColumns(castColumns(pattern, [0.36, 0.48, 0.8], 128, scratch));
  yield 0.2;
  const detail = findFineDetail(pattern, survey);
  yield 0.7;
  const heavy = findHeavySection(pattern);
  return { ...detail, ...heavy, volumeMm3: sums.solidMm3 + sums.unknownMm3 / 2 };
}
