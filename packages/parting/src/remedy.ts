/** What a remedy is. */
import type { Vec3 } from '@oddside/core';
import type { LooseSlide } from './check-loose-piece.js';
import type { HeldRegion } from './find-held-regions.js';
import type { FlaskStack } from './flask-stack.js';
import type { PartingSurface } from './parting-surface.js';

/** Kinds of remedy, in the order of the trouble they make (common practice, no source). */
export type RemedyKind = 'turn-draw' | 'move-joint' | 'shape-joint' | 'loose-piece' | 'core' | 'cheek' | 'fill';

/** One thing that can be done. */
export interface Remedy {
  readonly kind: RemedyKind;
  /** The region it is for, or `null` where it is for the whole mould or for all small regions together. */
  readonly region: HeldRegion | null;
  /** What it costs: sand to dig or heap, sand of a core, or metal added, mm³; pieces or parts to make besides. */
  readonly costs: { readonly sandMm3: number; readonly metalMm3: number; readonly parts: number };
  /**
   * Sand still held after this remedy alone, and sand that a joint flat outside the pattern still traps over its rim, mm³:
   * measured again on the columns as the remedy leaves them. What the pattern itself parts, inside its outline, is not in it.
   */
  readonly leftMm3: number;
  /** Two standard errors of sampling, and what a joint that leaves the rim may trap there, mm³. */
  readonly leftErrorMm3: number;
  /** A place to look at, in the pattern's coordinates. */
  readonly where: Vec3 | null;
  /** In words, with its numbers. */
  readonly sentence: string;
  /** What was worked out for it. */
  readonly draw?: Vec3;
  readonly jointHeight?: number;
  readonly surface?: PartingSurface;
  readonly slide?: LooseSlide;
  readonly stack?: FlaskStack;
}

/** What costs nothing but the trouble. */
export const FREE: Remedy['costs'] = Object.freeze({ sandMm3: 0, metalMm3: 0, parts: 0 });
