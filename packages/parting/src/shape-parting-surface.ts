/**
 * The least-dug joint. A joint must meet the pattern within the corridor of its rim, and sand will stand no steeper than a
 * slope. Of all surfaces within that slope, one lies at every place as near to the flat joint as any can: the flat joint
 * itself, moved only where the highest or the lowest possible surface forces it (geometry of two-part moulds, extension to
 * the flask; McShane's and Whitney's extension on the sand's own distances).
 */
import { checkNumber, drainSteps, resolveOptions, runSteps, type Steps, type TaskOptions } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import { jointSteps } from './lay-joint.js';
import type { PartingSurface } from './parting-surface.js';

/** What {@link shapePartingSurface} takes. */
export interface ShapePartingSurfaceOptions {
  /** Steepest slope of the joint, degrees, 5–85. Default 30: green sand stands steeper, but the cope must lift off it (common practice, no source). */
  readonly slopeLimitDeg: number;
  /** Height of the flat joint to leave as little as possible, mm from the file's origin, at most the pattern's height off it. Default: the assessment's. */
  readonly jointHeight: number | undefined;
  /** Width of a column, mm. Default: twice the assessment's. */
  readonly column: number | undefined;
  /**
   * How far, mm, the wall may have drawn in and still count as the rim, at most a twentieth of the pattern. A little gives
   * a much flatter joint on a scan, at the price of as deep an undercut. Default 0.
   */
  readonly band: number;
  /** Room between pattern and flask wall that there is, mm; more than the joint needs is left flat. Default: whatever the joint needs. */
  readonly margin: number | undefined;
  /** Height between contours, mm. Default: a tenth of the joint's rise, rounded to 1, 2 or 5 of a power of ten. */
  readonly contourStep: number | undefined;
}

/** Defaults of {@link shapePartingSurface}. */
export const SHAPE_PARTING_SURFACE_DEFAULTS: ShapePartingSurfaceOptions = Object.freeze({
  slopeLimitDeg: 30,
  jointHeight: undefined,
  column: undefined,
  band: 0,
  margin: undefined,
  contourStep: undefined,
});

/** What {@link shapePartingSurfaceInPieces} takes. */
export interface ShapeInPiecesOptions extends ShapePartingSurfaceOptions, TaskOptions {}

/** Defaults of {@link shapePartingSurfaceInPieces}. */
export const SHAPE_IN_PIECES_DEFAULTS: ShapeInPiecesOptions = Object.freeze({
  ...SHAPE_PARTING_SURFACE_DEFAULTS,
  signal: undefined,
  onProgress: undefined,
});

/**
 * Shapes the joint of a pattern along an assessed draw.
 *
 * @param assessment Of the same pattern; its direction, column and flat joint are used.
 * @returns The surface, or the pair of places that makes one impossible and the least slope that would do.
 *   Deterministic. Cost: about three casts and 1 µs a column of the plan; several times that where it is impossible.
 * @throws OddsideError `bad-option`, `bad-number`.
 */
export function shapePartingSurface(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  options?: Partial<ShapePartingSurfaceOptions>,
): PartingSurface {
  const chosen = resolveOptions('shapePartingSurface', SHAPE_PARTING_SURFACE_DEFAULTS, options);
  return drainSteps(surfaceSteps(pattern, assessment, chosen));
}

/**
 * The same as {@link shapePartingSurface}, to the last bit, in small pieces of work that let events and an abort through: for scans
 * of 100,000 triangles and more, and for pages.
 *
 * @param assessment Of the same pattern; its direction, column and flat joint are used.
 * @returns The surface.
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function shapePartingSurfaceInPieces(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  options?: Partial<ShapeInPiecesOptions>,
): Promise<PartingSurface> {
  const { signal, onProgress, ...chosen } = resolveOptions(
    'shapePartingSurfaceInPieces',
    SHAPE_IN_PIECES_DEFAULTS,
    options,
  );
  return runSteps(surfaceSteps(pattern, assessment, chosen), { signal, onProgress });
}

function surfaceSteps(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  chosen: ShapePartingSurfaceOptions,
): Steps<PartingSurface> {
  checkNumber('slopeLimitDeg (degrees)', chosen.slopeLimitDeg, { min: 5, max: 85 });
  const jointHeight = chosen.jointHeight ?? assessment.flat.height;
  const asked = checkNumber('column (mm)', chosen.column ?? 2 * assessment.column, { min: 0, above: true });
  checkNumber('band (mm)', chosen.band, { min: 0 });
  if (chosen.margin !== undefined) checkNumber('margin (mm)', chosen.margin, { min: 0 });
  if (chosen.contourStep !== undefined) checkNumber('contourStep (mm)', chosen.contourStep, { min: 0, above: true });
  return jointSteps(pattern, assessment.direction, { ...chosen, jointHeight, column: asked });
}
