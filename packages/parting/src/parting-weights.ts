/**
 * What each criterion weighs. Each is a share that does not depend on the pattern's size or turn; its weight says how many
 * points a share of 1 costs; the fewest points win.
 *
 * The weights are common practice, no source: held sand is a spoiled mould, so one hundredth of the pattern's volume
 * outweighs everything else; sand trapped by a flat joint can be dug away; depth, lift, shallow draft, digging and a long
 * or climbing line are work and risk; dirt floats to the top, so fine detail and faces to be machined are better down
 * (published trade practice), and a heavy section is fed best from above.
 */

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
  /** Sand dug away and built up for the shaped joint, over the pattern's volume. Default 0.2. */
  readonly digging: number;
  /** Length of the parting line over three times the pattern's size: line to fit and flash to fettle. Default 0.1. */
  readonly lineLength: number;
  /** What the parting line rises and falls off the flat joint, over the pattern's size. Default 0.3. */
  readonly lineRise: number;
  /** Nothing where the smallest flask at hand will do, 1 and what is wanting where none will. Default 1. */
  readonly flaskFit: number;
  /** Fine detail that faces up, over all there is in the surface's bends. Default 0.3. */
  readonly fineDetail: number;
  /** Of the faces to be machined, what faces up; a face on its side counts half. Default 2. */
  readonly machined: number;
  /** How far the heavy sections lie below the top, over the height of the pattern. Default 0.2. */
  readonly heavySection: number;
}

/** Default weights, see {@link PartingWeights}. */
export const PARTING_WEIGHTS: PartingWeights = Object.freeze({
  backDraft: 100,
  flatMisfit: 10,
  copeDepth: 1,
  dragDepth: 0.5,
  projectedArea: 0.3,
  shallowDraft: 0.8,
  digging: 0.2,
  lineLength: 0.1,
  lineRise: 0.3,
  flaskFit: 1,
  fineDetail: 0.3,
  machined: 2,
  heavySection: 0.2,
});
