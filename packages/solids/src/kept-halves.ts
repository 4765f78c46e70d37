/**
 * Cope halves that a split made, kept for the board that is made next: the half that beds in the board is the same one.
 * Plain data, nothing of the kernel; an entry lives as long as the pattern it was made of, and only while that is unchanged.
 */
import type { Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { meshOfBody, type PlainMesh } from './convert-body.js';
import type { DrawFrame } from './draw-frame.js';
import type { Joint } from './joint.js';
import type { Body } from './kernel.js';

/** A filled cope half on a level joint. */
export interface KeptHalf {
  readonly frame: DrawFrame;
  /** In the frame of the draw. */
  readonly mesh: PlainMesh;
  /** Height of the joint in the frame, mm. */
  readonly level: number;
  readonly volumeMm3: number;
  /** What was stated for the task that made it, mm³. */
  readonly errorMm3: number;
}

/** A body as a kept half. */
export function keptOf(frame: DrawFrame, body: Body, level: number, errorMm3: number): KeptHalf {
  return { frame, mesh: meshOfBody(body), level, volumeMm3: body.volume(), errorMm3 };
}

/** What a task sees of a keeper. */
export interface HalfKeeper {
  /** Called before a half is made of a pattern; what it gives is called with the half. */
  begin(pattern: Pattern): (half: KeptHalf) => void;
  /** The half of this very pattern for the same draw and level, or `null`. */
  find(pattern: Pattern, frame: DrawFrame, level: number | null): KeptHalf | null;
}

/** True where a half was made for a draw and a level. */
export function fits(half: KeptHalf, frame: DrawFrame, level: number | null): boolean {
  return half.level === level && half.frame.d.every((value, k) => value === frame.d[k]);
}

/** A half on its way: what will be known to fit where draw and height are the same numbers. */
interface Coming {
  readonly direction: Vec3;
  readonly height: number;
  readonly made: Promise<unknown>;
}

/** One keeper for each opened kernel. */
export class KeptHalves implements HalfKeeper {
  readonly #entries = new WeakMap<Pattern, { readonly half: KeptHalf; readonly check: number }>();
  readonly #coming = new WeakMap<Pattern, Coming>();

  begin(pattern: Pattern): (half: KeptHalf) => void {
    if (!isPattern(pattern)) return () => undefined;
    const check = checkOf(pattern);
    return (half) => void this.#entries.set(pattern, { half, check });
  }

  find(pattern: Pattern, frame: DrawFrame, level: number | null): KeptHalf | null {
    const half = this.last(pattern);
    return half && fits(half, frame, level) ? half : null;
  }

  /** The half that was last made of this very pattern, or `null`. */
  last(pattern: Pattern): KeptHalf | null {
    const entry = this.#entries.get(pattern);
    return entry && entry.check === checkOf(pattern) ? entry.half : null;
  }

  /** Notes that a half of a pattern is being made; `made` must not reject. */
  note(pattern: Pattern, direction: Vec3, joint: Joint, made: Promise<unknown>): void {
    if (joint.kind !== 'level' || !isPattern(pattern)) return;
    const coming = { direction, height: joint.height, made };
    this.#coming.set(pattern, coming);
    void made.then(() => this.#coming.get(pattern) === coming && this.#coming.delete(pattern));
  }

  /** Where a half that will fit is being made, when it is there; otherwise `null`. */
  coming(pattern: Pattern, direction: Vec3, joint: Joint | undefined): Promise<unknown> | null {
    const coming = this.#coming.get(pattern);
    const same =
      joint?.kind === 'level' &&
      joint.height === coming?.height &&
      [0, 1, 2].every((k) => direction?.[k] === coming.direction[k]);
    return same ? coming.made : null;
  }
}

/** What comes from a caller may be none; then no half is made of it. */
const isPattern = (pattern: Pattern | undefined): boolean =>
  pattern?.positions instanceof Float64Array && pattern.triangles instanceof Uint32Array;

/** A number that changes when anyone writes into the pattern's arrays (Fowler's, Noll's and Vo's way of mixing). */
function checkOf({ positions, triangles }: Pattern): number {
  let mixed = 0x811c9dc5;
  const words = new Uint32Array(positions.buffer, positions.byteOffset, 2 * positions.length);
  for (const list of [words, triangles]) {
    for (let k = 0; k < list.length; k++) mixed = Math.imul(mixed ^ list[k], 0x01000193);
  }
  return mixed >>> 0;
}
