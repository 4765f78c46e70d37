/** Fewer triangles for the same shape, within a stated distance. */
import { OddsideError, checkNumber, resolveOptions, startPacing, type Pacer, type TaskOptions } from '@oddside/core';
import type { MeshoptSimplifier } from 'meshoptimizer/simplifier';
import { checkPattern } from './check-pattern.js';
import { ClosestPoint } from './closest-point.js';
import { dropUnusedCorners } from './drop-unused.js';
import { findBounds } from './find-bounds.js';
import { integrateSurface } from './integrate-surface.js';
import { centreOf } from './moments.js';
import type { Pattern } from './pattern.js';
import { buildTriangleTree } from './triangle-tree.js';

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
  /** Farthest that any corner of the old surface lies from the new one, mm; never above the distance asked for. */
  readonly distance: number;
  /** Change of the enclosed volume, mm³. */
  readonly volumeChangeMm3: number;
}

/** Each round locks the corners that the one before left too far off. */
const ROUNDS = 14;
/** Rounds after which their neighbours are locked too: that always helps, but costs many triangles. */
const PATIENCE = 9;

/**
 * Takes triangles away where the shape does not need them, with the edge-collapse simplifier of meshoptimizer. The
 * corners that stay keep their place. The distance is then measured at every corner of the old surface (the engine's own
 * figure is a mean, and single corners lie several times farther off); corners that are too far are locked and it is done
 * again. The pattern comes back as it was when that does not help.
 *
 * Cost: a few seconds for 870,000 triangles.
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
  const before = integrateSurface(positions, triangles, middle).volume;
  const locks = new Uint8Array(positions.length / 3);
  // The engine insists on an attribute where corners are to be locked; a weight of nothing keeps it from counting.
  const nothing = new Float32Array(positions.length / 3);
  for (let round = 0; round < ROUNDS; round++) {
    await pacer.step(round / ROUNDS);
    const [kept] = engine.simplifyWithAttributes(
      triangles, local, 3, nothing, 1, [0], locks, target * 3, distance, ['ErrorAbsolute'],
    ); // prettier-ignore
    await pacer.step((round + 0.5) / ROUNDS);
    if (kept.length === 0) break;
    const mesh = dropUnusedCorners(positions, kept);
    const share = 1 / ROUNDS;
    const farthest = await lockFarCorners(positions, mesh, distance, locks, pacer, (round + 0.5) * share, share / 2);
    if (farthest > distance) {
      if (round >= PATIENCE) lockNeighbours(triangles, locks);
      continue;
    }
    const volume = integrateSurface(mesh.positions, mesh.triangles, middle).volume;
    pacer.finish();
    return { pattern: { ...pattern, ...mesh }, distance: farthest, volumeChangeMm3: volume - before };
  }
  pacer.finish();
  return { pattern, distance: 0, volumeChangeMm3: 0 };
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

/** Locks every old corner farther than `distance` from the new surface, and says how far the farthest is. */
async function lockFarCorners(
  old: Float64Array,
  { positions, triangles }: { positions: Float64Array; triangles: Uint32Array },
  distance: number,
  locks: Uint8Array,
  pacer: Pacer,
  from: number,
  share: number,
): Promise<number> {
  const surface = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
  let square = 0;
  for (let i = 0; i < old.length; i += 3) {
    if (i % 3000 === 0) await pacer.step(from + (share * i) / old.length);
    surface.find(old[i], old[i + 1], old[i + 2]);
    if (surface.square > square) square = surface.square;
    if (surface.square > distance * distance) locks[i / 3] = 1;
  }
  return Math.sqrt(square);
}

/** Locks the neighbours of locked corners too: what lies between two corners is held by both. */
function lockNeighbours(triangles: Uint32Array, locks: Uint8Array): void {
  const before = locks.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    if (!before[triangles[t]] && !before[triangles[t + 1]] && !before[triangles[t + 2]]) continue;
    locks[triangles[t]] = locks[triangles[t + 1]] = locks[triangles[t + 2]] = 1;
  }
}
