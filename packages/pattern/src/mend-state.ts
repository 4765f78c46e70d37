/** A pattern while it is being mended: its triangles, where each came from, and what was done. */
import type { Finding, Vec3 } from '@oddside/core';
import { integrateSurface } from './integrate-surface.js';

/** One thing that mending did. */
export interface MendStep {
  /** `weld`, `drop-degenerate`, `drop-duplicates`, `drop-skins`, `drop-debris`, `agree`, `turn-outward`, `fill-holes`. */
  readonly what: string;
  /** How many corners, triangles or holes. */
  readonly count: number;
  /** In plain words. */
  readonly message: string;
  /** One of the places, mm. */
  readonly where?: Vec3;
  /** How much the enclosed volume (signed integral about the middle of the box) changed, mm³. */
  readonly volumeChangeMm3: number;
}

/** Marks a triangle that mending made. */
export const NEW_TRIANGLE = -1;

export class MendState {
  positions: Float64Array;
  triangles: Uint32Array;
  /** Number of the triangle of the given pattern that each triangle was; {@link NEW_TRIANGLE} for new ones. */
  from: Int32Array;
  readonly steps: MendStep[] = [];
  readonly findings: Finding[] = [];
  readonly #origin: Vec3;
  #volume: number;

  constructor(positions: Float64Array, triangles: Uint32Array, origin: Vec3) {
    this.positions = positions;
    this.triangles = triangles.slice();
    this.from = Int32Array.from({ length: triangles.length / 3 }, (_, i) => i);
    this.#origin = origin;
    this.#volume = this.#integrate();
  }

  get corners(): number {
    return this.positions.length / 3;
  }

  /** Keeps the triangles for which `keep` says so. */
  keep(keep: (triangle: number) => boolean): void {
    const kept: number[] = [];
    for (let t = 0; t < this.from.length; t++) if (keep(t)) kept.push(t);
    const triangles = new Uint32Array(kept.length * 3);
    for (let i = 0; i < kept.length; i++) {
      for (let k = 0; k < 3; k++) triangles[3 * i + k] = this.triangles[3 * kept[i] + k];
    }
    this.from = Int32Array.from(kept, (t) => this.from[t]);
    this.triangles = triangles;
  }

  /** Adds new corners and triangles. */
  append(corners: readonly number[], triangles: readonly number[]): void {
    if (corners.length > 0) {
      const positions = new Float64Array(this.positions.length + corners.length);
      positions.set(this.positions);
      positions.set(corners, this.positions.length);
      this.positions = positions;
    }
    const joined = new Uint32Array(this.triangles.length + triangles.length);
    joined.set(this.triangles);
    joined.set(triangles, this.triangles.length);
    const from = new Int32Array(joined.length / 3).fill(NEW_TRIANGLE);
    from.set(this.from);
    this.triangles = joined;
    this.from = from;
  }

  /** Writes down a step, unless it did nothing. */
  note(what: string, count: number, message: string, where?: Vec3): void {
    if (count === 0) return;
    const volume = this.#integrate();
    this.steps.push({ what, count, message, where, volumeChangeMm3: volume - this.#volume });
    this.#volume = volume;
  }

  cornerOf(triangle: number): Vec3 {
    const p = this.triangles[triangle * 3] * 3;
    return [this.positions[p], this.positions[p + 1], this.positions[p + 2]];
  }

  #integrate(): number {
    return integrateSurface(this.positions, this.triangles, this.#origin).volume;
  }
}
