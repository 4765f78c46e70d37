/** Measures a ladder of joints. What comes in was checked by `jointLadder`, in this thread or in the one that asks. */
import { checkNumber, degrees, dot, radians, startPacing, type TaskOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns } from './cast-columns.js';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import { betweenColumns, extendJoint, fitsCorridor, type HeightAt } from './extend-joint.js';
import { misfitLength } from './find-flat-joint.js';
import { fitSlopedJoint, type Corridor } from './fit-sloped-joint.js';
import { distanceOutside, fitTiltedJoint } from './fit-tilted-joint.js';
import type { JointLadder, JointLadderOptions, JointRung, LadderLine } from './joint-ladder.js';
import { tallyPlainly } from './tally-columns.js';

/** Gap at which a sloped joint is good enough, as a share of what the tilted one misses, and looks at it at most. */
const GAP = 0.01;
const LOOKS = 40;

/** What measuring a ladder takes of the options of `jointLadder`. */
export type LadderToMeasure = TaskOptions &
  Pick<JointLadderOptions, 'slopeLimitDeg' | 'columns' | 'margin' | 'along' | 'scratch'>;

/** Measures the ladder of a checked pattern, along a draw and with options that were checked too. */
export async function measureLadder(pattern: Pattern, direction: Vec3, options: LadderToMeasure): Promise<JointLadder> {
  const pacer = startPacing(options);
  const field = castColumns(pattern, direction, options.columns, options.scratch);
  const { column } = field;
  const steepest = Math.tan(radians(options.slopeLimitDeg));
  const area = column * column;
  const { sums, joint } = options.scratch?.engine.tally(field) ?? tallyPlainly(field);
  const held = sums.backDraftMm3;
  const flatMiss = misfitLength(field.cells, joint.height);
  const pad = Math.min(256, Math.ceil(options.margin / column));
  const follow = followerOf(field, options.along);
  const plane = fitTiltedJoint(field, steepest);
  const digging = distanceOutside(plane, field, pad, joint.height);
  const corridor = corridorOf(field, steepest);
  // Until here the cells are read: between its steps others may cast with the same scratch.
  await pacer.step(0.2);

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
        digging,
        over,
        degrees(Math.atan(Math.hypot(plane.slopeU, plane.slopeV))),
      );
  const sloped = (from: Corridor, miss: number, least: number): JointRung => {
    const { outside, heightAt } = extendJoint(from, pad, joint.height);
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
      const { width, height, low, high } = corridor;
      const at = k * width + i;
      if (i < 0 || k < 0 || i >= width || k >= height || low[at] > high[at]) return joint.height;
      return Math.max(low[at], Math.min(high[at], joint.height));
    }),
  );
  return { direction: field.direction, column, backDraftMm3: held, rungs: [flat, tilted, third, free] };
}

/** What lists the heights of a joint over the places of a line. */
function followerOf(field: ColumnField, line: LadderLine | undefined): (heightAt: HeightAt) => Float64Array {
  if (line === undefined) return () => new Float64Array(0);
  const { places } = line;
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
  const low = heights.slice();
  const high = heights.slice();
  for (let i = 0; i < heights.length; i++) {
    if (corridor.low[i] <= corridor.high[i]) continue;
    low[i] = Infinity;
    high[i] = -Infinity;
  }
  return { ...corridor, low, high };
}
