/** Fewer triangles for the same shape, within a stated distance. */
import {
  OddsideError,
  checkNumber,
  resolveOptions,
  startPacing,
  type Finding,
  type Pacer,
  type TaskOptions,
} from '@oddside/core';
import type { MeshoptSimplifier } from 'meshoptimizer/simplifier';
import { checkPattern } from './check-pattern.js';
import { dropUnusedCorners } from './drop-unused.js';
import { findBounds } from './find-bounds.js';
import { integrateSurface } from './integrate-surface.js';
import { centreOf } from './moments.js';
import { NearSurface } from './near-surface.js';
import type { Pattern } from './pattern.js';

/** What {@link simplifyPattern} can be told. */
export interface SimplifyOptions extends TaskOptions {
  /** How far the new surface may lie from the old one, mm. Default 0.1: half of what fine sand shows. */
  readonly distance?: number;
  /** Stop at about so many triangles. Default 0: as few as the distance allows. */
  readonly triangles?: number;
}

/** The defaults of {@link simplifyPattern}. */
export const SIMPLIFY_DEFAULTS: Readonly<SimplifyOptions> = Object.freeze({
  distance: 0.1,
  triangles: 0,
  signal: undefined,
  onProgress: undefined,
});

/** A simplified pattern and how far it is from the old one. */
export interface Simplified {
  readonly pattern: Pattern;
  /**
   * No point of either surface lies farther than this from the other, mm; never above the distance asked for. A bound
   * over whole triangles, both ways, not the largest of some samples.
   */
  readonly distance: number;
  /** Change of the enclosed volume, mm³; never more than the distance asked for times the old area. */
  readonly volumeChangeMm3: number;
  /** What to know about the result; empty where it is as was asked. */
  readonly findings: readonly Finding[];
}

/** Each round locks the corners of what the one before left too far off. */
const ROUNDS = 16;
/** Rounds after which the engine gets half the distance to spend, and half of that in the next, and so on. */
const PATIENCE = 1;
/** Rounds after which the neighbours of locked corners are locked too: that always helps, but costs many triangles. */
const LATE = 9;
/** Triangles between two pauses: about 5 ms of work. */
const BATCH = 500;

/**
 * Takes triangles away where the shape does not need them, with the edge-collapse simplifier of meshoptimizer. The
 * corners that stay keep their place. The distance is then bounded over every triangle of the old surface against the new
 * one and of the new against the old (the engine's own figure is a mean, and single places lie several times farther
 * off); the corners of what is too far, or cannot be shown to be near, are locked and it is done again, with less and
 * less for the engine to spend. A pattern that cannot be had with fewer triangles comes back as it was, with a finding.
 *
 * What a distance d says about shadows: let p be a point of one surface, and q one of the other with |p − q| ≤ d.
 * Seen along any direction, the two are seen no farther apart than d, because projecting never lengthens. So every point
 * of either silhouette lies within d of the other silhouette, whatever the direction of view, and so does the farthest
 * extent in any direction: the heights of the two patterns along any axis differ by no more than d at either end. A gap
 * narrower than 2 d may close in a shadow. Of the volume, the change is measured, and a result that changes it by more
 * than d times the old area is not taken.
 *
 * Cost: about 10 µs a triangle and round, mostly one to four rounds.
 *
 * @throws OddsideError `bad-number`, `bad-option`, `bad-pattern`, `no-triangles`, `missing-engine`. The signal's reason
 * after an abort.
 */
export async function simplifyPattern(pattern: Pattern, options?: SimplifyOptions): Promise<Simplified> {
  const settled = resolveOptions('simplifyPattern', SIMPLIFY_DEFAULTS, options);
  const distance = checkNumber('distance (mm)', settled.distance, { min: 0, above: true });
  const target = checkNumber('triangles', settled.triangles, { min: 0, whole: true });
  checkPattern(pattern);
  const pacer = startPacing(settled);
  const engine = await openSimplifier();
  const { positions, triangles } = pattern;
  const middle = centreOf(findBounds(positions));
  const local = Float32Array.from(positions, (value, i) => value - middle[i % 3]);
  const before = integrateSurface(positions, triangles, middle);
  const old = new NearSurface(positions, triangles);
  const locks = new Uint8Array(positions.length / 3);
  // The engine insists on an attribute where corners are to be locked; a weight of nothing keeps it from counting.
  const nothing = new Float32Array(positions.length / 3);
  for (let round = 0; round < ROUNDS; round++) {
    const from = round / ROUNDS;
    await pacer.step(from);
    const spend = distance * 0.5 ** Math.max(0, round - PATIENCE + 1);
    const [kept] = engine.simplifyWithAttributes(
      triangles, local, 3, nothing, 1, [0], locks, target * 3, spend, ['ErrorAbsolute'],
    ); // prettier-ignore
    if (kept.length === 0) continue;
    if (kept.length >= triangles.length) break;
    const worst = await measureBothWays({ positions, triangles, kept, old, distance, locks, pacer, from });
    const volume = integrateSurface(positions, kept, middle).volume - before.volume;
    if (worst <= distance && Math.abs(volume) <= distance * before.area) {
      pacer.finish();
      const mesh = dropUnusedCorners(positions, kept);
      return { pattern: { ...pattern, ...mesh }, distance: worst, volumeChangeMm3: volume, findings: [] };
    }
    if (round >= LATE) lockNeighbours(triangles, locks);
  }
  pacer.finish();
  return { pattern, distance: 0, volumeChangeMm3: 0, findings: [notSimplified(distance, triangles.length / 3)] };
}

function notSimplified(distance: number, triangles: number): Finding {
  return {
    code: 'not-simplified',
    severity: 'note',
    message: `No pattern with fewer than its ${triangles} triangles was found within ${distance} mm; it is as it was.`,
    remedy: 'Allow a larger distance, or mend the pattern first.',
  };
}

type Simplifier = typeof MeshoptSimplifier;

async function openSimplifier(): Promise<Simplifier> {
  try {
    const engine = await import('meshoptimizer/simplifier');
    await engine.MeshoptSimplifier.ready;
    return engine.MeshoptSimplifier;
  } catch (cause) {
    throw new OddsideError(
      'missing-engine',
      'Simplifying needs the package meshoptimizer, which did not load.',
      {},
      { cause },
    );
  }
}

interface Comparison {
  readonly positions: Float64Array;
  /** The old triangles and those that were kept, by the same corners. */
  readonly triangles: Uint32Array;
  readonly kept: Uint32Array;
  readonly old: NearSurface;
  readonly distance: number;
  readonly locks: Uint8Array;
  readonly pacer: Pacer;
  readonly from: number;
}

/** Bounds the distance both ways; Infinity where it is too far, and then the old corners there are locked. */
async function measureBothWays(all: Comparison): Promise<number> {
  const { positions, triangles, kept, old, distance, locks, pacer, from } = all;
  const whole = (triangles.length + kept.length) * ROUNDS;
  const fresh = new NearSurface(positions, kept);
  let worst = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    if (t % (3 * BATCH) === 0) await pacer.step(from + t / whole);
    const value = fresh.bound(positions, triangles[t], triangles[t + 1], triangles[t + 2], distance);
    if (value > worst) worst = value;
    if (value > distance) lock(locks, triangles, t);
  }
  for (let t = 0; t < kept.length; t += 3) {
    if (t % (3 * BATCH) === 0) await pacer.step(from + (triangles.length + t) / whole);
    const value = old.bound(positions, kept[t], kept[t + 1], kept[t + 2], distance);
    if (value > worst) worst = value;
    if (value <= distance) continue;
    lock(locks, kept, t);
    if (old.nearest >= 0) lock(locks, triangles, old.nearest * 3);
  }
  return worst;
}

function lock(locks: Uint8Array, triangles: Uint32Array, t: number): void {
  locks[triangles[t]] = locks[triangles[t + 1]] = locks[triangles[t + 2]] = 1;
}

/** Locks the neighbours of locked corners too: what lies between two corners is held by both. */
function lockNeighbours(triangles: Uint32Array, locks: Uint8Array): void {
  const before = locks.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    if (!before[triangles[t]] && !before[triangles[t + 1]] && !before[triangles[t + 2]]) continue;
    locks[triangles[t]] = locks[triangles[t + 1]] = locks[triangles[t + 2]] = 1;
  }
}
