/**
 * How draws are compared, see `PartingWeights`. Nothing is hidden: every candidate carries all criteria, with its reasons.
 * These six are read off the draw alone.
 */
import { formatArea, formatLength, formatShare, formatVolume, plainNumber, type UnitSystem } from '@oddside/core';
import type { DrawAssessment } from './assess-draw.js';
import type { PartingWeights } from './parting-weights.js';

/** One criterion of one candidate. */
export interface Criterion {
  readonly id: keyof PartingWeights;
  /** In plain words. */
  readonly label: string;
  /** The measured figure in its own unit, and that unit. */
  readonly value: number;
  readonly unit: 'mm³' | 'mm' | 'mm²' | '1';
  /** The figure as a share, see `PartingWeights`. */
  readonly share: number;
  readonly weight: number;
  /** `share × weight`. */
  readonly points: number;
  /** One sentence of reason. */
  readonly sentence: string;
}

/** What the shares are taken of. */
export interface PartingScale {
  /** Volume of the pattern, mm³. */
  readonly volumeMm3: number;
  /** Whole surface, mm². */
  readonly areaMm2: number;
  /** Size of the pattern, mm. */
  readonly size: number;
}

/** The points of a draw from bare figures: what the search compares. */
export function pointsOf(
  figures: {
    backDraftMm3: number;
    misfitMm3: number;
    copeDepth: number;
    dragDepth: number;
    shadowAreaMm2: number;
    shallowShare: number;
  },
  scale: PartingScale,
  weights: PartingWeights,
): number {
  return (
    weights.backDraft * shareOf(figures.backDraftMm3, scale.volumeMm3) +
    weights.flatMisfit * shareOf(figures.misfitMm3, scale.volumeMm3) +
    weights.copeDepth * shareOf(figures.copeDepth, scale.size) +
    weights.dragDepth * shareOf(figures.dragDepth, scale.size) +
    weights.projectedArea * shareOf(figures.shadowAreaMm2, scale.areaMm2 / 4) +
    weights.shallowDraft * figures.shallowShare
  );
}

/** A part of a whole, 0 where there is no whole. */
export const shareOf = (part: number, whole: number): number => (whole > 0 ? part / whole : 0);

/** Makes criteria out of their figures. */
export type MakeCriterion = (
  id: keyof PartingWeights,
  label: string,
  value: number,
  unit: Criterion['unit'],
  share: number,
  sentence: string,
) => Criterion;

/** Makes criteria that weigh what the weights say. */
export function criterionMaker(weights: PartingWeights): MakeCriterion {
  return (id, label, value, unit, share, sentence) => {
    const weight = weights[id];
    return { id, label, value, unit, share, weight, points: weight * share, sentence };
  };
}

/** The six criteria of an assessed draw, in the order of `PartingWeights`; `show` is the units of the sentences. */
export function scoreDraw(
  draw: DrawAssessment,
  scale: PartingScale,
  weights: PartingWeights,
  show: UnitSystem = 'metric',
): Criterion[] {
  const make = criterionMaker(weights);
  const held = shareOf(draw.backDraftMm3, scale.volumeMm3);
  const misfit = shareOf(draw.flat.misfitMm3, scale.volumeMm3);
  const column = `columns of ${formatLength(draw.column, show)}`;
  return [
    make(
      'backDraft',
      'sand held whatever the joint',
      draw.backDraftMm3,
      'mm³',
      held,
      held < NOTHING
        ? `No sand is held along this draw, seen in ${column}.`
        : `${formatVolume(draw.backDraftMm3, show)} of sand (${formatShare(held)} of the pattern) is held between metal, give or take ${formatVolume(draw.backDraftErrorMm3, show, 2)}.`,
    ),
    make(
      'flatMisfit',
      'sand a flat joint traps besides',
      draw.flat.misfitMm3,
      'mm³',
      misfit,
      misfit < NOTHING
        ? 'A flat joint traps nothing more.'
        : `A flat joint traps ${formatVolume(draw.flat.misfitMm3, show)} more (${formatShare(misfit)}); cope down that much, or bed the pattern in an odd-side.`,
    ),
    make(
      'copeDepth',
      'depth in the cope',
      draw.copeDepth,
      'mm',
      shareOf(draw.copeDepth, scale.size),
      draw.copeDepth < 1e-6 * scale.size
        ? 'Nothing stands in the cope: it is left flat.'
        : `${formatLength(draw.copeDepth, show)} stands in the cope, whose sand hangs over it.`,
    ),
    make(
      'dragDepth',
      'depth in the drag',
      draw.dragDepth,
      'mm',
      shareOf(draw.dragDepth, scale.size),
      `${formatLength(draw.dragDepth, show)} lies in the drag.`,
    ),
    make(
      'projectedArea',
      'area the metal lifts on',
      draw.shadowAreaMm2,
      'mm²',
      shareOf(draw.shadowAreaMm2, scale.areaMm2 / 4),
      `The metal can press up on ${formatArea(draw.shadowAreaMm2, show)}.`,
    ),
    make(
      'shallowDraft',
      'surface short of draft',
      draw.draft.shallowAreaMm2,
      'mm²',
      draw.draft.shallowShare,
      `${formatShare(draw.draft.shallowShare, 2)} of the surface has less than ${plainNumber(draw.draft.requiredDeg)}° of draft.`,
    ),
  ];
}

/** Shares of the volume under this are rounding, not sand. */
export const NOTHING = 1e-6;
