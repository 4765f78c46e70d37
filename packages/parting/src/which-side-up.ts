/**
 * Which side is up. Dirt and gas float to the top of a mould, so fine detail and faces to be machined are better cast down in
 * the drag (published trade practice); a heavy section freezes last and is fed best by a feeder above it.
 *
 * The first two are sums over the surface of how much each place looks up, (1 + n · draw) / 2, which are linear in the
 * draw; the third is a height. So each is told for any draw from one vector, and turned over is told from the same.
 */
import { dot, type Vec3 } from '@oddside/core';

/** What decides which side is up, measured once for a pattern. Plain data. */
export interface SideFigures {
  /** Fine detail as a share of all bends of the surface, 0–1, and the mean of its normals times that share. */
  readonly detailShare: number;
  readonly detail: Vec3;
  /** Mean normal by area of the faces to be machined, of length 0–1; `null` where none were named. */
  readonly machined: Vec3 | null;
  /** Place of the heavy sections, mm in the pattern's coordinates; `null` where no metal could be told. */
  readonly heavy: Vec3 | null;
  /** Thickest section: diameter of the largest ball inside, mm, to about a fiftieth of the pattern. */
  readonly thickest: number;
}

/** Shares of the three criteria, see `PartingWeights`. */
export interface SideShares {
  readonly fineDetail: number;
  readonly machined: number;
  readonly heavySection: number;
}

/**
 * The shares along one draw.
 *
 * @param lowest Height of the lowest and the highest corner, mm along the draw from the file's origin.
 */
export function sideShares(sides: SideFigures, draw: Vec3, lowest: number, highest: number): SideShares {
  const height = highest - lowest;
  return {
    fineDetail: (sides.detailShare + dot(sides.detail, draw)) / 2,
    machined: sides.machined ? (1 + dot(sides.machined, draw)) / 2 : 0,
    heavySection: sides.heavy && height > 0 ? (highest - dot(sides.heavy, draw)) / height : 0.5,
  };
}
