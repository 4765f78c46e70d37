/** One draw tried quickly: the figures a search compares, for the better of its two ways up. */
import { scale as times, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import { chooseHeight, findFlatJoint } from './find-flat-joint.js';
import type { OwnAxis } from './find-own-axes.js';
import { sumColumns } from './measure-columns.js';
import { pointsOf, type PartingScale, type PartingWeights } from './score-draw.js';

/** A draw as the search sees it. */
export interface TriedDraw {
  readonly direction: Vec3;
  readonly from: OwnAxis['from'] | 'even sampling';
  /** Points without the shallow-draft criterion, which only candidates are charged. */
  readonly points: number;
  readonly backDraftMm3: number;
  readonly misfitMm3: number;
  /** Casts spent to find it. */
  readonly casts: number;
}

/** Tries a draw and its opposite with one cast. */
export function tryDraw(
  pattern: Pattern,
  direction: Vec3,
  from: TriedDraw['from'],
  columns: number,
  scale: PartingScale,
  weights: PartingWeights,
  scratch: CastScratch,
): TriedDraw {
  const field = castColumns(pattern, direction, columns, scratch);
  const sums = sumColumns(field);
  const joint = findFlatJoint(field);
  // Columns that cannot be read may hold anything: half of them is the guess that favours neither draw.
  const backDraftMm3 = sums.backDraftMm3 + sums.unknownMm3 / 2;
  const figures = {
    backDraftMm3,
    misfitMm3: joint.misfitMm3,
    copeDepth: field.highest - joint.height,
    dragDepth: joint.height - field.lowest,
    shadowAreaMm2: sums.shadowAreaMm2,
    shallowShare: 0,
  };
  const mirrored = -chooseHeight(-joint.high, -joint.low, -field.highest, -field.lowest);
  const other = { ...figures, copeDepth: mirrored - field.lowest, dragDepth: field.highest - mirrored };
  const points = pointsOf(figures, scale, weights);
  const otherPoints = pointsOf(other, scale, weights);
  const turned = otherPoints < points;
  return {
    direction: turned ? times(field.direction, -1) : field.direction,
    from,
    points: turned ? otherPoints : points,
    backDraftMm3,
    misfitMm3: joint.misfitMm3,
    casts: 1,
  };
}
