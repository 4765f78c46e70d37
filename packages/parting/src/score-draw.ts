/**
 * How draws are compared. Each criterion is a share that does not depend on the pattern's size or turn; its weight says
 * how many points a share of 1 costs; the fewest points win. Nothing is hidden: every candidate carries all six.
 *
 * The weights are common practice, no source: held sand is a spoiled mould, so one hundredth of the pattern's volume
 * outweighs everything else; sand trapped by a flat joint can be dug away; depth, lift and shallow draft are work and risk.
 */
import { formatArea, formatLength, formatShare, formatVolume, plainNumber, type UnitSystem } from '@oddside/core';
import type { DrawAssessment } from './assess-draw.js';

/** Points per unit share of each criterion. */
export interface PartingWeights {
  /** Back draft over the pattern's volume. Default 100. */
  readonly backDraft: number;
  /** What the best flat joint traps besides, over the pattern's volume. Default 10. */
  readonly flatMisfit: number;
  /** Depth in the cope over the pattern's size: sand to hang and to lift. Default 1. */
  readonly copeDepth: number;
  /** Depth in the drag over the pattern's size: pattern to draw. Default 0.5. */
  readonly dragDepth: number;
  /** Shadow over a quarter of the surface: area on which the metal lifts the cope. Default 0.3. */
  readonly projectedArea: number;
  /** Share of the surface with less draft than asked. Default 0.8. */
  readonly shallowDraft: number;
}

/** Default weights, see {@link PartingWeights}. */
export const PARTING_WEIGHTS: PartingWeights = Object.freeze({
  backDraft: 100,
  flatMisfit: 10,
  copeDepth: 1,
  dragDepth: 0.5,
  projectedArea: 0.3,
  shallowDraft: 0.8,
});

/** One criterion of one candidate. */
export interface Criterion {
  readonly id: keyof PartingWeights;
  /** In plain words. */
  readonly label: string;
  /** The measured figure in its own unit, and that unit. */
  readonly value: number;
  readonly unit: 'mm³' | 'mm' | 'mm²';
  /** The figure as a share, see {@link PartingWeights}. */
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

const shareOf = (part: number, whole: number): number => (whole > 0 ? part / whole : 0);

/** The six criteria of an assessed draw, in the order of {@link PartingWeights}; `show` is the units of the sentences. */
export function scoreDraw(
  draw: DrawAssessment,
  scale: PartingScale,
  weights: PartingWeights,
  show: UnitSystem = 'metric',
): Criterion[] {
  const make = (
    id: keyof PartingWeights,
    label: string,
    value: number,
    unit: Criterion['unit'],
    share: number,
    sentence: string,
  ): Criterion => ({ id, label, value, unit, share, weight: weights[id], points: weights[id] * share, sentence });
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
