/** What a split takes, checked before any work. */
import { checkNumber, resolveOptions, type TaskOptions } from '@oddside/core';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkWallLimits } from './check-thin-walls.js';
import { checkBed, type PrinterBed } from './cut-to-bed.js';
import type { Joint } from './joint.js';
import type { PatternPlate } from './make-plate.js';

/** What `splitPattern` takes. */
export interface SplitPatternOptions extends TaskOptions {
  readonly joint: Joint;
  /**
   * Fill first what the halves would tear. Along a flat joint everything that it tears is filled; along a free-form joint
   * only held sand, because the joint meets the rim to a column's width and must not be given a step there. Default true.
   */
  readonly fill: boolean;
  /** How many dowels, 0–8. Default 2; the second is thinner, so that the halves go together in one way only. */
  readonly dowels: number;
  /** mm. Default: as thick as the section bears, 2–12. */
  readonly dowelDiameter: number | undefined;
  /** Room between dowel and hole, mm on the radius. Default 0.15 (common practice for printed holes, no source). */
  readonly clearance: number;
  /** Least metal round a hole and beyond its end, mm. Default 2. */
  readonly wall: number;
  /** Makes a plate with a half on each face instead of two loose halves. Default none. */
  readonly plate: PatternPlate | undefined;
  /** Cut every half (and the plate) to a printer's bed, along the frame across the draw. Default none. */
  readonly bed: PrinterBed | undefined;
  /** Walls of what is to be printed thinner than this are told, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between walls of the pattern thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `splitPattern`; the joint has none. */
export const SPLIT_PATTERN_DEFAULTS: Omit<SplitPatternOptions, 'joint'> = Object.freeze({
  fill: true,
  dowels: 2,
  dowelDiameter: undefined,
  clearance: 0.15,
  wall: 2,
  plate: undefined,
  bed: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** Options filled in and checked. @throws OddsideError `bad-option`, `bad-number`. */
export function splitOptions(
  given: Partial<SplitPatternOptions> & Pick<SplitPatternOptions, 'joint'>,
): SplitPatternOptions {
  const defaults: SplitPatternOptions = { ...SPLIT_PATTERN_DEFAULTS, joint: given?.joint };
  const options = resolveOptions('splitPattern', defaults, given);
  checkNumber('dowels', options.dowels, { min: 0, max: 8, whole: true });
  checkNumber('clearance (mm)', options.clearance, { min: 0, max: 5 });
  checkNumber('wall (mm)', options.wall, { min: 0 });
  if (options.dowelDiameter !== undefined) checkNumber('dowelDiameter (mm)', options.dowelDiameter, { min: 0.5 });
  if (options.bed) checkBed(options.bed);
  checkWallLimits(options);
  return options;
}
