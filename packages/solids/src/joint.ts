/** The joint between cope and drag, as a caller gives it. */
import type { Vec3 } from '@oddside/core';

/** A level joint: across the draw at a height, mm along the draw from the file's origin, such as `assessment.flat.height`. */
export interface LevelJoint {
  readonly kind: 'level';
  readonly height: number;
}

/** A flat joint that need not lie across the draw. The normal points to the cope and leans less than 80° from the draw. */
export interface TiltedJoint {
  readonly kind: 'tilted';
  readonly point: Vec3;
  readonly normal: Vec3;
}

/**
 * A free-form joint: one height for each node of a grid across the draw, joined by flat triangles. Node (i, j) lies at
 * `origin + (u0 + i·column)·u + (v0 + j·column)·v` in plan. Beyond the grid the joint goes on level from its rim.
 */
export interface SurfaceJoint {
  readonly kind: 'surface';
  readonly origin: Vec3;
  readonly u: Vec3;
  readonly v: Vec3;
  /** Distance between nodes, mm. */
  readonly column: number;
  readonly nu: number;
  readonly nv: number;
  readonly u0: number;
  readonly v0: number;
  /** nv × nu heights row by row, mm along the draw from the file's origin; every one finite. */
  readonly heights: Float64Array;
}

export type Joint = LevelJoint | TiltedJoint | SurfaceJoint;
