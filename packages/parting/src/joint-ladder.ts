/**
 * The ladder of joints: flat, tilted, within a slope, free. Each may do all that the one before may, so none traps more sand
 * than the one before; side by side they say what a tilted board, an odd-side or a stepped joint is worth.
 *
 * All four are convex problems (geometry of two-part moulds, flat parting and its extensions), and each figure stands
 * beside a proven bound: no joint of that kind, on these columns, traps less than `leastMm3`.
 */
import {
  checkNumber,
  degrees,
  dot,
  radians,
  resolveOptions,
  startPacing,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { betweenColumns, extendJoint, fitsCorridor, sumOutside, type HeightAt } from './extend-joint.js';
import { findFlatJoint, misfitLength } from './find-flat-joint.js';
import { fitSlopedJoint, type Corridor } from './fit-sloped-joint.js';
import { fitTiltedJoint } from './fit-tilted-joint.js';
import { sumColumns } from './measure-columns.js';
import { helpersIn, orAborted, type PartingThreads } from './open-threads.js';

/** What {@link jointLadder} takes. */
export interface JointLadderOptions extends TaskOptions {
  /** Steepest slope of the tilted and the sloped joint, degrees, 1–80. Default 30 (common practice, no source). */
  readonly slopeLimitDeg: number;
  /** Columns across the shadow, 8–192. Default 96. */
  readonly columns: number;
  /** Sand between the shadow's box and the flask, mm: digging is counted so far out. Default 40 (common practice, no source). */
  readonly margin: number;
  /**
   * Threads of which one measures the ladder, see `openPartingThreads`, so that others or this one can do something else
   * meanwhile; the figures are the same bit for bit. Default: none, this thread measures it.
   */
  readonly threads: PartingThreads | undefined;
  /** From `makeScratch` with the same pattern: makes several ladders of one pattern quicker. Default: none. */
  readonly scratch: CastScratch | undefined;
  /** Line to follow the joints along, for a drawing of them. Default: none. */
  readonly along: LadderLine | undefined;
}

/** A line over which heights of the joints are given: its ends in the pattern's coordinates, mm, and how many places, 2–2000. */
export interface LadderLine {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly places: number;
}

/** Defaults of {@link jointLadder}. */
export const JOINT_LADDER_DEFAULTS: JointLadderOptions = Object.freeze({
  slopeLimitDeg: 30,
  columns: 96,
  margin: 40,
  threads: undefined,
  scratch: undefined,
  along: undefined,
  signal: undefined,
  onProgress: undefined,
});

/** One kind of joint at its best. */
export interface JointRung {
  readonly kind: 'flat' | 'tilted' | 'sloped' | 'free';
  /** Sand trapped, back draft included, and the proven least for any joint of this kind, mm³. */
  readonly trappedMm3: number;
  readonly leastMm3: number;
  /** Sand moved from the flat joint: what it no longer traps, and outside the pattern what lies between the two joints. */
  readonly dugMm3: number;
  /** Angle between the joint's plane and a level one, degrees; 0 for the others. */
  readonly tiltDeg: number;
  /** Heights of the joint at evenly spaced places of `along`, both ends included, mm along the draw from the file's origin; empty without it. */
  readonly profile: Float64Array;
}

/** The four rungs along one draw. */
export interface JointLadder {
  readonly direction: Vec3;
  /** Width of a column, mm. All four are measured on the same ones. */
  readonly column: number;
  readonly backDraftMm3: number;
  /** Flat, tilted, sloped, free: trapped sand never grows from one to the next. */
  readonly rungs: readonly [JointRung, JointRung, JointRung, JointRung];
}

/** Gap at which a sloped joint is good enough, as a share of what the tilted one misses, and looks at it at most. */
const GAP = 0.01;
const LOOKS = 40;

/**
 * Measures the ladder of joints along a draw.
 *
 * @returns The four rungs. Cost: tens of ms where a joint within the slope misses nothing, up to a second where not.
 * @throws OddsideError `bad-direction`, `bad-number`, `bad-option`, `bad-pattern`; the signal's reason when aborted.
 */
export async function jointLadder(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<JointLadderOptions>,
): Promise<JointLadder> {
  const chosen = resolveOptions('jointLadder', JOINT_LADDER_DEFAULTS, options);
  checkNumber('slopeLimitDeg (degrees)', chosen.slopeLimitDeg, { min: 1, max: 80 });
  checkNumber('columns', chosen.columns, { min: 8, max: 192, whole: true });
  checkNumber('margin (mm)', chosen.margin, { min: 0, max: 10_000 });
  checkPattern(pattern);
  const pacer = startPacing(chosen);
  const { signal } = chosen;
  if (chosen.threads) {
    const threads = helpersIn(chosen.threads);
    const { slopeLimitDeg, columns, margin, along } = chosen;
    const options = { slopeLimitDeg, columns, margin, along };
    const key = threads.keyOf(pattern);
    const ladder = await orAborted(threads.ask({ kind: 'ladder', key, direction, options }), signal);
    pacer.finish();
    return ladder;
  }
  const cast = castColumns(pattern, direction, chosen.columns, chosen.scratch);
  // Between its steps others may cast with the same scratch.
  const field = chosen.scratch ? { ...cast, cells: cast.cells.slice() } : cast;
  const { column } = field;
  const steepest = Math.tan(radians(chosen.slopeLimitDeg));
  const area = column * column;
  const held = sumColumns(field).backDraftMm3;
  const joint = findFlatJoint(field);
  const flatMiss = misfitLength(field.cells, joint.height);
  const pad = Math.min(256, Math.ceil(chosen.margin / column));
  const follow = followerOf(field, chosen.along);
  await pacer.step(0.05);

  const rung = (
    kind: JointRung['kind'],
    miss: number,
    least: number,
    outside: number,
    heightAt: HeightAt,
    tiltDeg = 0,
  ): JointRung => ({
    kind,
    trappedMm3: held + miss * area,
    leastMm3: held + least * area,
    dugMm3: (flatMiss - miss + outside) * area,
    tiltDeg,
    profile: follow(heightAt),
  });
  const flat = rung('flat', flatMiss, flatMiss, 0, () => joint.height);
  const plane = fitTiltedJoint(field, steepest);
  // Rounding apart a tilted plane is never worse than a level one; where it is no better the board stays level.
  const level = plane.miss >= flatMiss * (1 - 1e-6);
  const over = (x: number, row: number): number =>
    plane.height + plane.slopeU * (field.u0 + x * column) + plane.slopeV * (field.v0 + row * column);
  const tilted = level
    ? { ...flat, kind: 'tilted' as const, leastMm3: held + Math.min(plane.least, flatMiss) * area }
    : rung(
        'tilted',
        plane.miss,
        plane.least,
        sumOutside(field, pad, (x, row) => Math.abs(over(x, row) - joint.height)),
        over,
        degrees(Math.atan(Math.hypot(plane.slopeU, plane.slopeV))),
      );
  await pacer.step(0.2);

  const corridor = corridorOf(field, steepest);
  const sloped = (from: Corridor, miss: number, least: number): JointRung => {
    const { outside, heightAt } = extendJoint(from, field, pad, joint.height);
    return rung('sloped', miss, least, outside, heightAt);
  };
  let third: JointRung;
  if (fitsCorridor(corridor, 1e-9 * (field.highest - field.lowest))) {
    third = sloped(corridor, 0, 0);
  } else {
    const bar = level ? flatMiss : plane.miss;
    const tick = (fraction: number): Promise<void> => pacer.step(0.2 + 0.7 * fraction);
    const fitted = await fitSlopedJoint(corridor, joint.height, bar, GAP, LOOKS, tick);
    third =
      fitted.miss <= bar
        ? sloped(onSurface(corridor, fitted.heights), fitted.miss, fitted.least)
        : { ...tilted, kind: 'sloped', leastMm3: held + fitted.least * area };
  }
  pacer.finish();
  const free = rung('free', 0, 0, 0, (x, row) =>
    betweenColumns(x, row, (i, k) => {
      const at = (k * field.nu + i) * CELL_STRIDE;
      const inside = i >= 0 && k >= 0 && i < field.nu && k < field.nv;
      if (!inside || field.cells[at + CELL_TOP] === -Infinity) return joint.height;
      return Math.max(field.cells[at + CELL_BOTTOM], Math.min(field.cells[at + CELL_TOP], joint.height));
    }),
  );
  return { direction: field.direction, column, backDraftMm3: held, rungs: [flat, tilted, third, free] };
}

/** What lists the heights of a joint over the places of a line. */
function followerOf(field: ColumnField, line: LadderLine | undefined): (heightAt: HeightAt) => Float64Array {
  if (line === undefined) return () => new Float64Array(0);
  const places = checkNumber('along.places', line.places, { min: 2, max: 2000, whole: true });
  const { u, v, u0, v0, column, origin, direction } = field;
  const base = dot(origin, direction);
  const columnOf = (point: Vec3): readonly [number, number] => [
    checkNumber('along, a place in columns', (dot(point, u) - dot(origin, u) - u0) / column),
    checkNumber('along, a place in columns', (dot(point, v) - dot(origin, v) - v0) / column),
  ];
  const [x0, row0] = columnOf(line.from);
  const [x1, row1] = columnOf(line.to);
  return (heightAt) =>
    Float64Array.from({ length: places }, (_, i) => {
      const part = i / (places - 1);
      return base + heightAt(x0 + part * (x1 - x0), row0 + part * (row1 - row0));
    });
}

function corridorOf({ cells, nu, nv, column }: ColumnField, steepest: number): Corridor {
  const low = new Float64Array(nu * nv);
  const high = new Float64Array(nu * nv);
  for (let i = 0; i < low.length; i++) {
    low[i] = cells[i * CELL_STRIDE + CELL_BOTTOM];
    high[i] = cells[i * CELL_STRIDE + CELL_TOP];
  }
  return { width: nu, height: nv, low, high, most: steepest * column };
}

/** A corridor that leaves a joint no choice over the metal. */
function onSurface(corridor: Corridor, heights: Float64Array): Corridor {
  const metal = (i: number): boolean => corridor.low[i] <= corridor.high[i];
  return {
    ...corridor,
    low: heights.map((z, i) => (metal(i) ? z : Infinity)),
    high: heights.map((z, i) => (metal(i) ? z : -Infinity)),
  };
}
