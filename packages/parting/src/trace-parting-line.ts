/**
 * The parting line. It runs over the edge of the shadow; there the metal stands between two heights, and the joint may
 * meet it anywhere between (geometry of two-part moulds, parting line). Through that corridor the line is pulled taut, which
 * makes it the flattest there is. It does not follow the mesh's edges, so the zig-zag of a scan does not reach it; what
 * noise there is widens the corridor by a measured band, and what that gives away is priced in mm³.
 */
import {
  checkNumber,
  dot,
  drainSteps,
  resolveOptions,
  runSteps,
  type Steps,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import type { CastScratch } from './cast-columns.js';
import type { ColumnField } from './column-field.js';
import { estimateNoise } from './estimate-noise.js';
import { findShutOffs } from './find-shut-offs.js';
import { fitJointPlane } from './fit-joint-plane.js';
import { findingsOfLine } from './judge-parting-line.js';
import { layPartingLoop } from './lay-parting-loop.js';
import type { FittedPlane, PartingLine } from './parting-line.js';
import { castLike, traceShadowBoundary, type BoundaryLoop } from './trace-shadow-boundary.js';

/** What {@link tracePartingLine} takes. */
export interface TracePartingLineOptions {
  /** Width of a column, mm. Default: that of the assessment. */
  readonly column: number | undefined;
  /**
   * How far, mm, the wall may have drawn in and still count as the rim: the undercut the line may make to lie flatter, at
   * most a twentieth of the pattern. Default: twice the measured noise of the surface, which is 0 on a modelled pattern.
   */
  readonly band: number | undefined;
  /** Distance between marks, mm. Default: each loop in 24. */
  readonly stationSpacing: number | undefined;
  /** Loops with less area than this are left out, mm². Default: four columns. */
  readonly leastLoopMm2: number | undefined;
  /** From `makeScratch` with the same pattern: makes several lines of one pattern quicker. Default: none. */
  readonly scratch: CastScratch | undefined;
}

/** Defaults of {@link tracePartingLine}. */
export const TRACE_PARTING_LINE_DEFAULTS: TracePartingLineOptions = Object.freeze({
  column: undefined,
  band: undefined,
  stationSpacing: undefined,
  leastLoopMm2: undefined,
  scratch: undefined,
});

/**
 * Traces the parting line of a pattern along an assessed draw.
 *
 * @param assessment Of the same pattern, see `assessDraw`; its direction, column and flat joint are used.
 * @returns The line. Deterministic. Cost: about four casts, plus 0.3 µs a triangle where the noise is measured.
 * @throws OddsideError `bad-option`, `bad-number`.
 */
export function tracePartingLine(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  options?: Partial<TracePartingLineOptions>,
): PartingLine {
  const chosen = resolveOptions('tracePartingLine', TRACE_PARTING_LINE_DEFAULTS, options);
  return drainSteps(lineSteps(pattern, assessment, chosen));
}

/** What {@link tracePartingLineInPieces} takes. */
export interface TraceInPiecesOptions extends TracePartingLineOptions, TaskOptions {}

/** Defaults of {@link tracePartingLineInPieces}. */
export const TRACE_IN_PIECES_DEFAULTS: TraceInPiecesOptions = Object.freeze({
  ...TRACE_PARTING_LINE_DEFAULTS,
  signal: undefined,
  onProgress: undefined,
});

/**
 * The same line, to the last bit, traced in pieces: for large scans in a program that has other things to do.
 *
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function tracePartingLineInPieces(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  options?: Partial<TraceInPiecesOptions>,
): Promise<PartingLine> {
  const { signal, onProgress, ...chosen } = resolveOptions(
    'tracePartingLineInPieces',
    TRACE_IN_PIECES_DEFAULTS,
    options,
  );
  return runSteps(lineSteps(pattern, assessment, chosen), { signal, onProgress });
}

/** Traces it in pieces; nothing else may cast with the scratch until it is done. */
export function* lineSteps(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'column' | 'flat'>,
  chosen: TracePartingLineOptions,
): Steps<PartingLine> {
  const column = checkNumber('column (mm)', chosen.column ?? assessment.column, { min: 0, above: true });
  if (chosen.band !== undefined) checkNumber('band (mm)', chosen.band, { min: 0 });
  if (chosen.stationSpacing !== undefined) {
    checkNumber('stationSpacing (mm)', chosen.stationSpacing, { min: 0, above: true });
  }
  if (chosen.leastLoopMm2 !== undefined) checkNumber('leastLoopMm2 (mm²)', chosen.leastLoopMm2, { min: 0 });
  const field = castLike(pattern, assessment.direction, column, chosen.scratch);
  yield 0.2;
  const sigma = chosen.band === undefined ? estimateNoise(pattern).sigma : 0;
  yield 0.4;
  const band = Math.min(chosen.band ?? 2 * sigma, (Math.max(field.nu, field.nv) * field.column) / 20);
  const least = chosen.leastLoopMm2 ?? 4 * field.column * field.column;
  const all = traceShadowBoundary(pattern, field, band, chosen.scratch?.engine);
  yield 0.8;
  const kept = all.filter((loop) => Math.abs(loop.areaMm2) >= least).sort(bySize);

  const base = dot(field.origin, field.direction);
  const joint = assessment.flat.height - base;
  const range = flatRange(kept);
  const spacing = chosen.stationSpacing;
  const loops = kept.map((loop) =>
    layPartingLoop(field, loop, { wanted: range ? clamp(joint, range.low, range.high) : joint, joint, band, spacing }),
  );
  yield 0.9;
  const heights = loops.flatMap((loop) => [loop.lowest, loop.highest]);
  const line = {
    direction: field.direction,
    column: field.column,
    loops,
    length: loops.reduce((sum, loop) => sum + loop.length, 0),
    rise: Math.max(0, ...heights.map((h) => h - assessment.flat.height)),
    fall: Math.max(0, ...heights.map((h) => assessment.flat.height - h)),
    flat: range ? { low: range.low + base, high: range.high + base } : null,
    plane: planeOf(field, kept, range),
    shutOff: findShutOffs(field),
    noise: { sigma, band, priceMm3: loops.reduce((sum, loop) => sum + loop.priceMm3, 0) },
    specks: all.length - kept.length,
  };
  const findings = findingsOfLine(line, field);
  return { ...line, reliable: findings.every((finding) => finding.severity === 'note'), findings };
}

const clamp = (x: number, low: number, high: number): number => Math.min(high, Math.max(low, x));

/** Outer loops before inner ones, large before small; places break ties, so that the order never depends on chance. */
function bySize(a: BoundaryLoop, b: BoundaryLoop): number {
  return b.areaMm2 > 0 !== a.areaMm2 > 0 ? b.areaMm2 - a.areaMm2 : Math.abs(b.areaMm2) - Math.abs(a.areaMm2);
}

/** Heights that lie in every corridor of every loop. */
function flatRange(loops: readonly BoundaryLoop[]): { low: number; high: number } | null {
  let low = -Infinity;
  let high = Infinity;
  for (const loop of loops) {
    for (let i = 0; i < loop.u.length; i++) {
      low = Math.max(low, loop.wideLow[i]);
      high = Math.min(high, loop.wideHigh[i]);
    }
  }
  if (!(low <= high + nearlyNothing(loops))) return null;
  return low <= high ? { low, high } : { low: (low + high) / 2, high: (low + high) / 2 };
}

/** A millionth of the largest loop's width: what a plane may miss by and still fit. */
function nearlyNothing(loops: readonly BoundaryLoop[]): number {
  return 1e-6 * Math.sqrt(loops.reduce((most, loop) => Math.max(most, Math.abs(loop.areaMm2)), 0));
}

function planeOf(
  field: ColumnField,
  loops: readonly BoundaryLoop[],
  range: { low: number; high: number } | null,
): FittedPlane {
  const join = (of: (loop: BoundaryLoop) => Float64Array): Float64Array =>
    Float64Array.from(loops.flatMap((loop) => Array.from(of(loop))));
  const { direction: d, u, v, origin } = field;
  if (loops.length === 0 || range) {
    const height = range ? (range.low + range.high) / 2 : 0;
    return { fits: range !== null, normal: d, tiltDeg: 0, offset: height + dot(origin, d), miss: 0 };
  }
  const plane = fitJointPlane(
    join((loop) => loop.u),
    join((loop) => loop.v),
    join((loop) => loop.wideLow),
    join((loop) => loop.wideHigh),
  );
  const size = Math.hypot(1, plane.slopeU, plane.slopeV);
  const normal = [0, 1, 2].map((k) => (d[k] - plane.slopeU * u[k] - plane.slopeV * v[k]) / size) as unknown as Vec3;
  return {
    fits: plane.miss <= nearlyNothing(loops),
    normal,
    tiltDeg: (Math.atan(Math.hypot(plane.slopeU, plane.slopeV)) * 180) / Math.PI,
    offset: plane.height / size + dot(origin, normal),
    miss: Math.max(0, plane.miss),
  };
}
