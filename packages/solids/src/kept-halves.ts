/**
 * Cope halves that a split made, kept for the board that is made next: the half that beds in the board is the same one.
 * Plain data, nothing of the kernel; an entry lives as long as the pattern it was made of, and only while that is unchanged.
 */
import type { Pattern } from '@oddside/pattern';
import { meshOfBody, type PlainMesh } from './convert-body.js';
import type { DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';

/** A filled cope half on a level joint. */
export interface KeptHalf {
  /** In the frame of the draw. */
  readonly mesh: PlainMesh;
  /** Height of the joint in the frame, mm. */
  readonly level: number;
  readonly volumeMm3: number;
  /** What was stated for the task that made it, mm³. */
  readonly errorMm3: number;
}

/** A body as a kept half. */
export function keptOf(body: Body, level: number, errorMm3: number): KeptHalf {
  return { mesh: meshOfBody(body), level, volumeMm3: body.volume(), errorMm3 };
}

interface Entry extends KeptHalf {
  readonly frame: DrawFrame;
  readonly check: number;
}

/** One keeper for each opened kernel. */
export class KeptHalves {
  readonly #entries = new WeakMap<Pattern, Entry>();

  keep(pattern: Pattern, frame: DrawFrame, half: KeptHalf): void {
    this.#entries.set(pattern, { ...half, frame, check: checkOf(pattern) });
  }

  /** The half of this very pattern for the same draw and level, or `null`. */
  find(pattern: Pattern, frame: DrawFrame, level: number | null): KeptHalf | null {
    const entry = this.#entries.get(pattern);
    if (!entry || entry.level !== level || entry.frame.d.some((value, k) => value !== frame.d[k])) return null;
    return entry.check === checkOf(pattern) ? entry : null;
  }
}

/** A number that changes when anyone writes into the pattern's arrays (Fowler's, Noll's and Vo's way of mixing). */
function checkOf({ positions, triangles }: Pattern): number {
  let mixed = 0x811c9dc5;
  const words = new Uint32Array(positions.buffer, positions.byteOffset, 2 * positions.length);
  for (const list of [words, triangles]) {
    for (let k = 0; k < list.length; k++) mixed = Math.imul(mixed ^ list[k], 0x01000193);
  }
  return mixed >>> 0;
}
