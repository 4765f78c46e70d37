/** How big and how heavy-to-be: volume, area, centroid, bounds and inertia. */
import {
  drainSteps,
  partOfSteps,
  resolveOptions,
  runSteps,
  type Bounds,
  type Finding,
  type Steps,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { classifyEdges } from './classify-edges.js';
import { columnVolume } from './column-volume.js';
import { countDuplicates } from './count-duplicates.js';
import { describeShells } from './describe-shells.js';
import { findBounds } from './find-bounds.js';
import { integrateSurface } from './integrate-surface.js';
import { labelShells } from './label-shells.js';
import { listEdges, type EdgeTable } from './list-edges.js';
import { doubled, insideOut, overlapping, shellsTurned, uncertain } from './measure-findings.js';
import { centreOf, momentsAbout, type Tensor3 } from './moments.js';
import type { Pattern } from './pattern.js';
import { boundSteps } from './bound-volume.js';
import { turnShells, turnedOver } from './turn-triangles.js';

/** What {@link measurePattern} found. Where `reliable` is false, read `volumeErrorMm3` and the findings first. */
export interface Measures {
  /** Volume of the solid inside, mm³; never negative. */
  readonly volumeMm3: number;
  /** Area of the surface, mm², all triangles once each. */
  readonly areaMm2: number;
  /** Centre of mass of the solid inside, mm. Of the surface, where no solid is well defined. */
  readonly centroid: Vec3;
  readonly bounds: Bounds;
  /**
   * Inertia about the centroid for a density of 1 per mm³ (mm⁵), the tensor [[Ixx, Ixy, Ixz], ...], Ixy = −∫xy. All zero
   * where no solid is well defined.
   */
  readonly inertiaMm5: Tensor3;
  /** True when the surface encloses a well-defined solid, so that the figures are exact to rounding. */
  readonly reliable: boolean;
  /** The true volume lies within `volumeMm3 ± volumeErrorMm3`. Rounding only, where reliable. */
  readonly volumeErrorMm3: number;
  readonly findings: readonly Finding[];
}

/** Columns across, for finding bodies that overlap. Smaller overlaps than a column may stay unseen. */
const COLUMNS = 192;
/** Overlaps below this share of the volume are left to rounding: they change no casting. */
const LEAST_OVERLAP = 1e-9;
/** Share of triangles with a second skin behind them from which the volume sums mean nothing. */
const MOST_OPPOSITE = 0.05;

/**
 * Measures a pattern.
 *
 * - A closed, consistent surface: exact integrals (compensated sums about the middle of the box), wherever it lies.
 * - A closed surface whose faces all point inwards is measured as if turned outwards, with a finding; so is a body that
 *   lies inside out beside others.
 * - A surface that overlaps or cuts itself: `volumeMm3` counts the overlap with its sign, `volumeErrorMm3` reaches to the
 *   volume of the union, `reliable` is false. Looked for along one axis in 192 × 192 columns; see `inspectPatternFully`
 *   for an exact search.
 * - An open or inconsistent surface: an interval from columns along all three axes, in which columns that cross the
 *   surface an odd number of times count as unknown, and `reliable` is false.
 *
 * Cost: about 0.6 s for a million triangles.
 *
 * @throws OddsideError `bad-pattern`, `no-triangles`.
 */
export function measurePattern(pattern: Pattern): Measures {
  return drainSteps(measureSteps(pattern));
}

/** Defaults of {@link measurePatternInPieces}. */
export const MEASURE_IN_PIECES_DEFAULTS: TaskOptions = Object.freeze({ signal: undefined, onProgress: undefined });

/**
 * The same as {@link measurePattern}, to the last bit, in small pieces of work that let events and an abort through: for scans of
 * 100,000 triangles and more, and for pages.
 *
 * @throws OddsideError `bad-pattern`, `no-triangles`, `bad-option`; the signal's reason when aborted.
 */
export async function measurePatternInPieces(pattern: Pattern, options?: TaskOptions): Promise<Measures> {
  const task = resolveOptions('measurePatternInPieces', MEASURE_IN_PIECES_DEFAULTS, options);
  return runSteps(measureSteps(pattern), task);
}

function* measureSteps(pattern: Pattern): Steps<Measures> {
  checkPattern(pattern);
  const { positions, triangles } = pattern;
  const bounds = findBounds(positions);
  const edges = listEdges(triangles, positions.length / 3);
  yield 0.1;
  const { unbalanced, open } = classifyEdges(triangles, edges);
  yield 0.15;
  return yield* unbalanced === 0 ? measureClosed(pattern, bounds, edges) : measureUnsound(pattern, bounds, open > 0);
}

function* measureClosed(pattern: Pattern, bounds: Bounds, edges: EdgeTable): Steps<Measures> {
  const { positions } = pattern;
  const origin = centreOf(bounds);
  const { opposite, isExtra } = countDuplicates(pattern.triangles, edges);
  yield 0.3;
  if (opposite > MOST_OPPOSITE * (pattern.triangles.length / 3)) return yield* measureDoubled(pattern, bounds, isExtra);
  const { triangles, findings, ambiguous } = turnBodies(pattern, edges);
  yield 0.6;
  const whole = integrateSurface(positions, triangles, origin);
  yield 0.8;
  // Along the shortest side columns are shortest and the shadow is largest.
  const sides = bounds.max.map((high, i) => high - bounds.min[i]);
  const axis = sides.indexOf(Math.min(...sides)) as 0 | 1 | 2;
  const columns = columnVolume(positions, triangles, bounds, axis, COLUMNS);
  const volume = Math.abs(whole.volume);
  const vanished = volume <= whole.volumeError;
  if (columns.overlap <= LEAST_OVERLAP * Math.max(volume, columns.anywhere) && !vanished && !ambiguous) {
    return {
      volumeMm3: volume,
      areaMm2: whole.area,
      ...momentsAbout(whole, origin),
      bounds,
      reliable: true,
      volumeErrorMm3: whole.volumeError,
      findings,
    };
  }
  // A body inside a body may be meant as a void: then its volume is too much twice. The columns only sample the overlap;
  // half as much again covers what falls between them.
  const times = ambiguous ? 2.1 : 1.5;
  const error = Math.max(times * columns.overlap, Math.abs(columns.anywhere - volume)) + whole.volumeError;
  findings.push(overlapping(volume, columns.anywhere, error));
  const moments = vanished ? noMoments(pattern) : momentsAbout(whole, origin);
  return {
    volumeMm3: volume,
    areaMm2: whole.area,
    ...moments,
    bounds,
    reliable: false,
    volumeErrorMm3: error,
    findings,
  };
}

/**
 * Turns bodies that are inside out. A shell inside another is left as it is: facing inwards it is a void; facing
 * outwards nobody can tell whether it is a void turned over or a second body, so it is `ambiguous`.
 */
function turnBodies(
  pattern: Pattern,
  edges: EdgeTable,
): { triangles: Uint32Array; findings: Finding[]; ambiguous: boolean } {
  const { positions, triangles } = pattern;
  const labels = labelShells(triangles, edges);
  const shells = describeShells(positions, triangles, labels);
  const wrong = shells.map((shell) => shell.depth === 0 && shell.signedVolumeMm3 < 0);
  const bodies = shells.filter((shell) => shell.depth === 0).length;
  const turned = wrong.filter(Boolean).length;
  const all = turned > 0 && turned === bodies;
  const ambiguous = shells.some(
    (shell) => shell.depth % 2 === 1 && (all ? -shell.signedVolumeMm3 : shell.signedVolumeMm3) > 0,
  );
  if (turned === 0) return { triangles, findings: [], ambiguous };
  if (all) return { triangles: turnedOver(triangles), findings: [insideOut()], ambiguous };
  return {
    triangles: turnShells(triangles, labels, wrong),
    findings: [shellsTurned(turned, labels.count, shells[wrong.indexOf(true)].where)],
    ambiguous,
  };
}

function* measureUnsound(pattern: Pattern, bounds: Bounds, open: boolean): Steps<Measures> {
  const { positions, triangles } = pattern;
  const { low, high } = yield* partOfSteps(boundSteps(positions, triangles, bounds), 0.15, 0.9);
  const { area } = integrateSurface(positions, triangles, centreOf(bounds));
  yield 0.95;
  return {
    volumeMm3: (low + high) / 2,
    areaMm2: area,
    ...noMoments(pattern),
    bounds,
    reliable: false,
    volumeErrorMm3: (high - low) / 2,
    findings: [uncertain(low, high, open)],
  };
}

/** Skins back to back cancel in every sum. Each is counted once, and the solid may still be no more than the sheet. */
function* measureDoubled(pattern: Pattern, bounds: Bounds, isExtra: Uint8Array): Steps<Measures> {
  const { positions, triangles } = pattern;
  const once = triangles.filter((_, i) => isExtra[(i / 3) | 0] === 0);
  const { high } = yield* partOfSteps(boundSteps(positions, once, bounds), 0.3, 0.9);
  return {
    volumeMm3: high / 2,
    areaMm2: integrateSurface(positions, triangles, centreOf(bounds)).area,
    ...noMoments(pattern),
    bounds,
    reliable: false,
    volumeErrorMm3: high / 2,
    findings: [doubled(high)],
  };
}

function noMoments(pattern: Pattern): { centroid: Vec3; inertiaMm5: Tensor3 } {
  const { positions, triangles } = pattern;
  const middle: [number, number, number] = [0, 0, 0];
  let total = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const a = triangles[i] * 3;
    const b = triangles[i + 1] * 3;
    const c = triangles[i + 2] * 3;
    const ux = positions[b] - positions[a];
    const uy = positions[b + 1] - positions[a + 1];
    const uz = positions[b + 2] - positions[a + 2];
    const vx = positions[c] - positions[a];
    const vy = positions[c + 1] - positions[a + 1];
    const vz = positions[c + 2] - positions[a + 2];
    const area = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
    total += area;
    for (let k = 0; k < 3; k++) middle[k] += (area * (positions[a + k] + positions[b + k] + positions[c + k])) / 3;
  }
  const zero: Vec3 = [0, 0, 0];
  const centroid: Vec3 =
    total > 0 ? [middle[0] / total, middle[1] / total, middle[2] / total] : centreOf(findBounds(positions));
  return { centroid, inertiaMm5: [zero, zero, zero] };
}
