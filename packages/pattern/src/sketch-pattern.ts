/** A rough likeness of a pattern for searches that look at it a thousand times. */
import { OddsideError, checkNumber, resolveOptions, type Finding } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { ClosestPoint } from './closest-point.js';
import { dropUnusedCorners } from './drop-unused.js';
import { findBounds } from './find-bounds.js';
import { mergeCorners } from './merge-corners.js';
import { centreOf } from './moments.js';
import type { Pattern } from './pattern.js';
import { buildTriangleTree } from './triangle-tree.js';

/** What {@link sketchPattern} can be told. */
export interface SketchOptions {
  /** About how many triangles to keep, at least 100. Default 6000. */
  readonly triangles?: number;
  /**
   * Quicker and rougher, for where all that is decided on the sketch is measured again on the pattern: on a pattern of more
   * than three times as many triangles near corners are first merged into their mean, and how far the sketch is
   * off is not looked at. Default false.
   */
  readonly quick?: boolean;
}

/** Triangles over those wanted from which a quick sketch merges corners first, until about so many are left. */
const QUICK_TIMES = 3;
const MERGED_TIMES = 4;

/** The defaults of {@link sketchPattern}. */
export const SKETCH_DEFAULTS: Readonly<SketchOptions> = Object.freeze({ triangles: 6000, quick: false });

/** How far a likeness of a pattern was found to be off. */
export interface LikenessMeasure {
  /** Farthest that a corner looked at lies from the likeness, mm. Where `complete` is false others may lie farther. */
  readonly distance: number;
  /** Root mean square over the corners looked at, mm. */
  readonly typicalDistance: number;
  /** How many corners of the pattern were looked at. */
  readonly corners: number;
  /** True when those are all it has. What lies between corners is not looked at in either case. */
  readonly complete: boolean;
}

/** What {@link measureLikeness} can be told. */
export interface LikenessOptions {
  /** Most corners to look at, spread evenly over the list of them. Default 2000. */
  readonly corners?: number;
}

/** The defaults of {@link measureLikeness}. */
export const LIKENESS_DEFAULTS: Readonly<LikenessOptions> = Object.freeze({ corners: 2000 });

/**
 * Measures how far corners of a pattern lie from a likeness of it, such as a sketch. A quick look, not a bound:
 * `simplifyPattern` gives bounds.
 *
 * Cost: about 10 µs a corner.
 *
 * @throws OddsideError `bad-number`, `bad-option`, `bad-pattern`, `no-triangles`.
 */
export function measureLikeness(pattern: Pattern, likeness: Pattern, options?: LikenessOptions): LikenessMeasure {
  const settled = resolveOptions('measureLikeness', LIKENESS_DEFAULTS, options);
  const most = checkNumber('corners', settled.corners, { min: 1, whole: true });
  checkPattern(pattern);
  checkPattern(likeness);
  const { positions, triangles } = likeness;
  const closest = new ClosestPoint(positions, triangles, buildTriangleTree(positions, triangles));
  // Corners that no triangle uses are no part of the surface.
  const surface = dropUnusedCorners(pattern.positions, pattern.triangles).positions;
  const all = surface.length / 3;
  const corners = Math.min(most, all);
  let largest = 0;
  let sum = 0;
  for (let i = 0; i < corners; i++) {
    const at = Math.floor((i * all) / corners) * 3;
    closest.find(surface[at], surface[at + 1], surface[at + 2]);
    sum += closest.square;
    if (closest.square > largest) largest = closest.square;
  }
  return {
    distance: Math.sqrt(largest),
    typicalDistance: Math.sqrt(sum / corners),
    corners,
    complete: corners === all,
  };
}

/**
 * Collapses edges with meshoptimizer until about so many triangles are left. How far the result is off is not chosen but
 * looked at afterwards, with {@link measureLikeness}, and stated in a finding of the sketch, `sketch-distance`; where a
 * distance must be kept use `simplifyPattern`. Corners that stay keep their place. Collapsing edges keeps a closed surface
 * closed, so columns through a sketch are balanced where the pattern's are. A pattern with fewer triangles comes back as
 * it is.
 *
 * Cost: about 0.1 s for 100,000 triangles, 0.7 s for 870,000; a quick one 0.2 s for those.
 *
 * @throws OddsideError `bad-number`, `bad-option`, `bad-pattern`, `missing-engine`.
 */
export async function sketchPattern(pattern: Pattern, options?: SketchOptions): Promise<Pattern> {
  const settled = resolveOptions('sketchPattern', SKETCH_DEFAULTS, options);
  const wanted = checkNumber('triangles', settled.triangles, { min: 100, whole: true });
  checkPattern(pattern);
  const count = pattern.triangles.length / 3;
  if (count <= wanted) return pattern;
  const dense = settled.quick && count > QUICK_TIMES * wanted;
  const merged = dense ? mergeCorners(pattern, MERGED_TIMES * wanted) : pattern;
  // Where most of the triangles lie close together merging can leave fewer than are wanted.
  const { positions, triangles } = merged.triangles.length / 3 > wanted ? merged : pattern;
  const { MeshoptSimplifier } = await import('meshoptimizer/simplifier').catch((cause: unknown) => {
    throw new OddsideError(
      'missing-engine',
      'Sketching needs the package meshoptimizer, which did not load.',
      {},
      { cause },
    );
  });
  await MeshoptSimplifier.ready;
  const middle = centreOf(findBounds(positions));
  const local = new Float32Array(positions.length);
  for (let i = 0; i < local.length; i++) local[i] = positions[i] - middle[i % 3];
  const [kept] = MeshoptSimplifier.simplify(triangles, local, 3, wanted * 3, 1);
  if (kept.length === 0) return pattern;
  const sketch: Pattern = { ...pattern, ...dropUnusedCorners(positions, kept) };
  if (settled.quick) return sketch;
  return { ...sketch, findings: [...pattern.findings, describeSketch(sketch, measureLikeness(pattern, sketch))] };
}

function describeSketch(sketch: Pattern, { distance, typicalDistance, corners, complete }: LikenessMeasure): Finding {
  const looked = complete
    ? `measured at all ${corners} corners`
    : `measured at ${corners} of its corners, spread evenly`;
  return {
    code: 'sketch-distance',
    severity: 'note',
    message:
      `This is a sketch of ${sketch.triangles.length / 3} triangles. The pattern lies up to ${distance.toPrecision(2)} mm ` +
      `from it, usually ${typicalDistance.toPrecision(2)} mm (${looked}).`,
    remedy: 'What is decided on it is to be measured again on the pattern itself.',
  };
}
