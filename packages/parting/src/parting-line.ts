/** What a parting line is, once traced. */
import type { Finding, Vec3 } from '@oddside/core';
import type { SandPillar } from './measure-pillar.js';
import type { ShutOff } from './find-shut-offs.js';

/** A point to mark on the pattern with a surface gauge. */
export interface Station {
  /** mm, in the pattern's coordinates. */
  readonly point: Vec3;
  /** Distance along the outline from the loop's first point, mm. */
  readonly along: number;
  /** Height above a board the pattern stands on with the draw upright (its lowest point touching), mm. */
  readonly aboveBoard: number;
  /** Height above (below: negative) the best flat joint, mm. */
  readonly fromJoint: number;
}

/** One closed loop of the parting line. */
export interface PartingLoop {
  /** True round metal, false round a through hole. */
  readonly outer: boolean;
  /** The line as a closed polyline on the pattern, n×3, mm in the pattern's coordinates; the last point joins the first. */
  readonly points: Float64Array;
  /** Heights of the points, and the corridor they may lie in, mm along the draw from the file's origin. */
  readonly heights: Float64Array;
  readonly corridorLow: Float64Array;
  readonly corridorHigh: Float64Array;
  /** Length of the line in space and in plan, mm. */
  readonly length: number;
  readonly planLength: number;
  /** Area inside it in plan, mm². */
  readonly areaMm2: number;
  /** Height of its lowest and highest point, mm along the draw from the file's origin. */
  readonly lowest: number;
  readonly highest: number;
  /** All its rises added up, mm; its falls are as much. 0 for a level line. */
  readonly climb: number;
  /** Steepest slope between neighbouring points at least a column apart, degrees, and where. */
  readonly steepestDeg: number;
  readonly steepestAt: Vec3;
  /** Marks to make, evenly along the line and at its highest and lowest point. */
  readonly stations: readonly Station[];
  /** The sand in the hole; `null` for an outer loop. */
  readonly pillar: SandPillar | null;
  /** Sand the line gives up to lie flatter than the rim allows, mm³; 0 where it stays on the rim. */
  readonly priceMm3: number;
}

/** The plane that comes nearest to the line's corridor. */
export interface FittedPlane {
  /** True where the whole line can lie in it. */
  readonly fits: boolean;
  /** Unit normal, on the cope's side. */
  readonly normal: Vec3;
  /** Angle between it and the draw, degrees. */
  readonly tiltDeg: number;
  /** `normal · point` of its points, mm. */
  readonly offset: number;
  /** How far the corridor stays from it at worst, mm; 0 where it fits. */
  readonly miss: number;
}

/** The line along which the mould parts round the pattern. */
export interface PartingLine {
  readonly direction: Vec3;
  /** Width of a column, mm: the line follows the shadow's edge exactly where it crosses the grid and straight between. */
  readonly column: number;
  /** Outer loops first, each kind by area, largest first. */
  readonly loops: readonly PartingLoop[];
  readonly length: number;
  /** Of all loops: highest point above and lowest point below the best flat joint, mm; 0 for a line in that joint. */
  readonly rise: number;
  readonly fall: number;
  /** Heights at which a flat joint meets every loop within its corridor, or `null`. mm from the file's origin. */
  readonly flat: { readonly low: number; readonly high: number } | null;
  /** The best plane, level where a level one fits. */
  readonly plane: FittedPlane;
  /** Where cope and drag must meet along an upright wall, or `null`. */
  readonly shutOff: ShutOff | null;
  /** Noise of the surface (standard error, mm), the band taken for the rim (mm) and the price of the line in it (mm³). */
  readonly noise: { readonly sigma: number; readonly band: number; readonly priceMm3: number };
  /** Loops left out because they were smaller than asked. */
  readonly specks: number;
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}
