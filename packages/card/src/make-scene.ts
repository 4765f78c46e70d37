/** Packs a laid pattern into a {@link Scene}. */
import { checkNumber, OddsideError, resolveOptions, unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { toBase64 } from './base64.js';
import type { Scene, SceneCatches } from './scene.js';
import { TONES } from './tones.js';

/** One way the pattern may lie, before it is packed. */
export interface WayToShow {
  readonly rank: number;
  /** The cope's draw in the coordinates of the laid pattern. */
  readonly draw: Vec3;
  /** mm along the draw from the origin of those coordinates. */
  readonly jointHeight: number;
  /** A place in `TONES` for each triangle. */
  readonly tones: ArrayLike<number>;
  /** What catches when the halves are moved, where it is known. */
  readonly catches?: SceneCatches;
}

/** What {@link makeScene} takes besides the pattern. */
export interface MakeSceneOptions {
  /** The ways to show, the chosen one first. */
  readonly ways: readonly WayToShow[];
}

/** Defaults of {@link makeScene}. */
export const MAKE_SCENE_DEFAULTS: MakeSceneOptions = Object.freeze({ ways: Object.freeze([]) });

const COUNTS = 65535;

/**
 * Packs a pattern for the card's viewer.
 *
 * @param pattern The laid pattern (joint at height 0, cope drawn along +z), simplified to what a page should carry: a
 *   triangle takes about 13 bytes of text, and one more for each way.
 * @returns The scene. Corners move by half of 1/65535 of the box at most: 2 µm in 250 mm. Cost: about 0.2 µs a triangle.
 * @throws OddsideError `bad-option` where tones and triangles differ in number, or a tone is unknown; `bad-number`;
 *   `bad-direction`; `bad-pattern` for coordinates that are not finite or corner numbers that do not exist.
 */
export function makeScene(pattern: Pick<Pattern, 'positions' | 'triangles'>, options: MakeSceneOptions): Scene {
  const { ways } = resolveOptions('makeScene', MAKE_SCENE_DEFAULTS, options);
  const { positions, triangles } = pattern;
  const corners = positions.length / 3;
  const { low, step } = boxOf(positions);
  const counts = new DataView(new ArrayBuffer(positions.length * 2));
  for (let i = 0; i < positions.length; i++) {
    const k = i % 3;
    counts.setUint16(i * 2, step[k] > 0 ? Math.round((positions[i] - low[k]) / step[k]) : 0, true);
  }
  const indices = new DataView(new ArrayBuffer(triangles.length * 4));
  for (let i = 0; i < triangles.length; i++) {
    if (triangles[i] >= corners) {
      throw new OddsideError('bad-pattern', `makeScene: corner ${triangles[i]} was used, but there are ${corners}.`);
    }
    indices.setUint32(i * 4, triangles[i], true);
  }
  return {
    corners,
    triangles: triangles.length / 3,
    low,
    step,
    positions: toBase64(new Uint8Array(counts.buffer)),
    indices: toBase64(new Uint8Array(indices.buffer)),
    ways: ways.map((way) => ({
      rank: checkNumber('rank', way.rank, { min: 0, whole: true }),
      draw: unitVector(way.draw, 'The draw'),
      jointHeight: checkNumber('jointHeight (mm)', way.jointHeight),
      tones: packTones(way.tones, triangles.length / 3),
      ...(way.catches && { catches: way.catches }),
    })),
  };
}

function boxOf(positions: Float64Array): { low: Vec3; step: Vec3 } {
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    const value = positions[i];
    if (!Number.isFinite(value)) {
      throw new OddsideError('bad-pattern', `makeScene: a coordinate is ${value}; finite numbers of mm were expected.`);
    }
    const k = i % 3;
    if (value < min[k]) min[k] = value;
    if (value > max[k]) max[k] = value;
  }
  if (positions.length === 0) return { low: [0, 0, 0], step: [0, 0, 0] };
  const step = (k: number): number => (max[k] - min[k]) / COUNTS;
  return { low: [min[0], min[1], min[2]], step: [step(0), step(1), step(2)] };
}

function packTones(tones: ArrayLike<number>, triangles: number): string {
  if (tones.length !== triangles) {
    throw new OddsideError(
      'bad-option',
      `makeScene needs one tone a triangle: ${triangles} were expected, but ${tones.length} came.`,
    );
  }
  const bytes = Uint8Array.from(tones);
  for (let i = 0; i < bytes.length; i++) {
    if (bytes[i] !== tones[i] || bytes[i] >= TONES.length) {
      throw new OddsideError('bad-option', `makeScene: tone ${tones[i]} of triangle ${i} is not a place in TONES.`);
    }
  }
  return toBase64(bytes);
}
