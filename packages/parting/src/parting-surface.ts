/** What a shaped joint is. */
import type { Finding, Vec3 } from '@oddside/core';

/** A line of equal height on the joint. */
export interface JointContour {
  /** mm along the draw from the file's origin. */
  readonly height: number;
  /** n×3, mm in the pattern's coordinates. */
  readonly points: Float64Array;
  readonly closed: boolean;
}

/** Two places that the joint cannot both meet at the slope allowed. */
export interface JointConflict {
  /** Where the joint must lie at least so high, and where at most so high, in the pattern's coordinates. */
  readonly high: Vec3;
  readonly low: Vec3;
  /** Height to climb between them, and the way through the sand to do it on, mm. */
  readonly climb: number;
  readonly distance: number;
  /** Slope that would need, degrees. */
  readonly neededDeg: number;
}

/** A joint surface between cope and drag outside the pattern. Plain data. */
export interface PartingSurface {
  readonly direction: Vec3;
  /** Steepest slope allowed, degrees, and the flat joint it leaves as little as it can, mm from the file's origin. */
  readonly slopeLimitDeg: number;
  readonly jointHeight: number;
  /** False where no surface within the slope meets the pattern everywhere; then heights and volumes are a compromise. */
  readonly feasible: boolean;
  /** The pair of places that makes it impossible, or `null`. */
  readonly conflict: JointConflict | null;
  /**
   * Least slope limit at which a surface exists, degrees; found only where the one asked for is too little, else `null`.
   * Ways round corners come out up to five columns too long, and the slope as much too low.
   */
  readonly leastSlopeDeg: number | null;
  /** Width of a column, mm; columns along `u` and `v`; place of the first one, mm along `u` and `v` from `origin`. */
  readonly column: number;
  readonly nu: number;
  readonly nv: number;
  readonly u0: number;
  readonly v0: number;
  readonly origin: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  /** Heights, mm from the file's origin, row by row; NaN where metal is. */
  readonly heights: Float64Array;
  /** Sand to take away from a flat-struck drag, and to add to it, mm³; each give or take the error. */
  readonly copeDownMm3: number;
  readonly buildUpMm3: number;
  readonly volumeErrorMm3: number;
  readonly contours: readonly JointContour[];
  /** Steepest slope of the surface between neighbouring columns, degrees, and where. */
  readonly steepestDeg: number;
  readonly steepestAt: Vec3;
  /** Least distance from the pattern at which the joint is level again: the flask's wall must be at least so far, mm. */
  readonly leastMargin: number;
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}
