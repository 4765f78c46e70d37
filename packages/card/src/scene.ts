/** The pattern as a picture one can turn: a mesh small enough to travel inside the job and its card. */
import type { Vec3 } from '@oddside/core';

/** Sand that catches when one half is moved, seen in columns along the draw. All zero, and no place, where it is free. */
export interface SceneCatch {
  /** Area in plan of the sand that metal keeps from moving, and its volume. */
  readonly areaMm2: number;
  readonly sandMm3: number;
  /** Where most of it in one column touches the metal, in the scene's coordinates. */
  readonly at: Vec3 | null;
}

/**
 * What catches, with a flat joint and with one that follows the pattern. Rammed sand touches the metal all over, so what
 * catches at all does so at once: there is no way to travel before it.
 */
export interface SceneCatches {
  /** Sand of the cope under metal, when the cope is lifted. */
  readonly cope: { readonly flat: SceneCatch; readonly followed: SceneCatch };
  /** Sand of the drag over metal, when the pattern is drawn. */
  readonly pattern: { readonly flat: SceneCatch; readonly followed: SceneCatch };
}

/** One way the pattern may lie. */
export interface SceneWay {
  /** Rank of the candidate; 0 for a draw of the caller's own. */
  readonly rank: number;
  /** The cope's draw in the scene's coordinates, unit vector. */
  readonly draw: Vec3;
  /** Height of the flat joint along it, mm from the scene's origin. */
  readonly jointHeight: number;
  /** One place in `TONES` a triangle, bytes, base64. */
  readonly tones: string;
  /** What catches; left out where it is not known. */
  readonly catches?: SceneCatches;
}

/** A mesh with its ways, as plain JSON. Coordinates are those of the laid pattern, mm. */
export interface Scene {
  readonly corners: number;
  readonly triangles: number;
  /** Place of a corner: `low + step × count` for each of x, y and z, with counts of 0–65535. Off by half a step at most. */
  readonly low: Vec3;
  readonly step: Vec3;
  /** Counts of the corners, three 16-bit little-endian numbers each, base64. */
  readonly positions: string;
  /** Corner numbers of the triangles, three 32-bit little-endian numbers each, base64. */
  readonly indices: string;
  /** The way that is followed first. */
  readonly ways: readonly SceneWay[];
}
