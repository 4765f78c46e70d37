/**
 * Where sprue, runner, gates, feeders and vents go when the founder does not say: the sprue on the side with most room,
 * clear of the cavity by the sand margin; the runner square to the way in; gates along the joint into the nearest metal;
 * feeders over the heaviest sections; vents on the highest places (common practice, no source).
 */
import { plainNumber, type Bounds, type Finding } from '@oddside/core';
import { intoFrame, outOfFrame, type DrawFrame } from './draw-frame.js';
import { distanceInside, type FrameColumns } from './frame-columns.js';
import type { FramedJoint } from './frame-joint.js';
import type { FeederSize, GateSize, RunnerSize, SprueSize, VentSize } from './mould-parts.js';

/** A place in plan and a height, in the frame. */
export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly z: number;
}

/** A straight bar of rectangular section: its box in the frame. */
export type Bar = Bounds;

export interface PlacedParts {
  readonly sprue: Spot | null;
  readonly runner: Bar | null;
  readonly gates: readonly Bar[];
  /** Each stands on the casting at its spot. */
  readonly feeders: readonly (Spot & { readonly size: FeederSize })[];
  readonly vents: readonly Spot[];
  readonly findings: readonly Finding[];
}

export interface PlacingTask {
  readonly frame: DrawFrame;
  readonly columns: FrameColumns;
  readonly joint: FramedJoint;
  /** The cavity's box and the flask's in plan. */
  readonly cavity: Bounds;
  readonly flask: Bounds;
  readonly margin: number;
  readonly sprue: SprueSize | undefined;
  readonly runner: RunnerSize | undefined;
  readonly gates: GateSize | undefined;
  readonly feeders: readonly FeederSize[];
  readonly vents: VentSize | undefined;
}

/** Places everything. */
export function placeParts(task: PlacingTask): PlacedParts {
  const findings: Finding[] = [];
  const side = roomiestSide(task);
  const sprue = task.sprue ? placeSprue(task, task.sprue, side, findings) : null;
  const gates = sprue && task.gates ? placeGates(task, task.gates, sprue, side, findings) : [];
  const runner = sprue && task.runner ? placeRunner(task, task.runner, sprue, side, gates) : null;
  const feeders = placeFeeders(task);
  const vents = placeVents(task, feeders);
  return { sprue, runner, gates, feeders, vents, findings };
}

/** A side of the cavity: the axis across which it lies (0 = x, 1 = y) and which way. */
interface Side {
  readonly axis: 0 | 1;
  readonly way: 1 | -1;
  readonly room: number;
}

function roomiestSide({ cavity, flask }: PlacingTask): Side {
  const sides: Side[] = [0, 1].flatMap((axis) => [
    { axis: axis as 0 | 1, way: 1 as const, room: flask.max[axis] - cavity.max[axis] },
    { axis: axis as 0 | 1, way: -1 as const, room: cavity.min[axis] - flask.min[axis] },
  ]);
  return sides.reduce((best, side) => (side.room > best.room + 1e-6 ? side : best));
}

function placeSprue(task: PlacingTask, size: SprueSize, { axis, way, room }: Side, findings: Finding[]): Spot {
  const { cavity, margin, joint, frame } = task;
  const radius = Math.max(size.topDiameter, size.bottomDiameter, size.well?.diameter ?? 0) / 2;
  if (size.at) {
    const [x, y] = intoFrame(frame, size.at);
    return { x, y, z: joint.heightAt(x, y) };
  }
  const need = 2 * margin + 2 * radius;
  if (room < need) {
    findings.push({
      code: 'no-room-for-sprue',
      severity: 'problem',
      message: `The sprue needs ${plainNumber(need)} mm between cavity and flask, with ${plainNumber(margin)} mm of sand on both sides, but the widest side has ${plainNumber(room)} mm.`,
      remedy: 'Use a larger flask, or move the pattern to one side of it.',
    });
  }
  const edge = way > 0 ? cavity.max[axis] : cavity.min[axis];
  const place = [(cavity.min[0] + cavity.max[0]) / 2, (cavity.min[1] + cavity.max[1]) / 2];
  place[axis] = edge + way * (margin + radius);
  return { x: place[0], y: place[1], z: joint.heightAt(place[0], place[1]) };
}

/** Gates run straight in from the sprue's line to the first metal that the joint meets. */
function placeGates(task: PlacingTask, size: GateSize, sprue: Spot, { axis, way }: Side, findings: Finding[]): Bar[] {
  const { columns, joint, cavity } = task;
  const other = axis === 0 ? 1 : 0;
  const from = axis === 0 ? sprue.x : sprue.y;
  const gates: Bar[] = [];
  const low = cavity.min[other];
  const long = cavity.max[other] - low;
  for (let n = 0; n < size.count; n++) {
    const line = low + (long * (n + 0.5)) / size.count;
    const hit = nearestMetal(columns, joint, axis, way, line, size.width / 2);
    if (hit < 0) continue;
    const [x, y] = [columns.x[hit], columns.y[hit]];
    const z = joint.heightAt(x, y);
    // A gate's width into the metal, so that it joins for certain; the metal is there anyway.
    const inward = (axis === 0 ? x : y) - way * Math.min(size.width, 4 * columns.column);
    const [a, b] = [Math.min(from, inward), Math.max(from, inward)];
    const found = axis === 0 ? y : x;
    const centre = Math.abs(found - line) <= columns.column / 2 ? line : found;
    const min: [number, number, number] = [0, 0, z];
    const max: [number, number, number] = [0, 0, z + size.height];
    [min[axis], max[axis]] = [a, b];
    [min[other], max[other]] = [centre - size.width / 2, centre + size.width / 2];
    gates.push({ min, max });
  }
  if (gates.length < size.count) {
    findings.push({
      code: 'gates-missing',
      severity: 'warning',
      message: `${gates.length} of ${size.count} gates found metal at the joint on the sprue’s side.`,
      remedy: 'Ask for fewer gates, or place the sprue on another side.',
    });
  }
  return gates;
}

function nearestMetal(
  { x, y, top, bottom, column }: FrameColumns,
  joint: FramedJoint,
  axis: 0 | 1,
  way: 1 | -1,
  line: number,
  half: number,
): number {
  let best = -1;
  let [nearest, most] = [Infinity, -Infinity];
  for (let k = 0; k < x.length; k++) {
    const [along, across] = axis === 0 ? [x[k], y[k]] : [y[k], x[k]];
    // On the gate's own line if there is metal, so that gates lie evenly; else as near to it as there is any.
    const off = Math.max(0, Math.abs(across - line) - column / 2);
    if (off > half || off > nearest || (off === nearest && way * along <= most)) continue;
    const z = joint.heightAt(x[k], y[k]);
    if (top[k] >= z - 1e-6 && bottom[k] <= z + 1e-6) [best, nearest, most] = [k, off, way * along];
  }
  return best;
}

/** The runner spans the gates and the sprue, just under the joint. */
function placeRunner(_: PlacingTask, size: RunnerSize, sprue: Spot, { axis }: Side, gates: readonly Bar[]): Bar {
  const other = axis === 0 ? 1 : 0;
  const at = [sprue.x, sprue.y];
  const ends = [at[other], ...gates.flatMap((gate) => [gate.min[other], gate.max[other]])];
  const min: [number, number, number] = [0, 0, sprue.z - size.height];
  const max: [number, number, number] = [0, 0, sprue.z];
  [min[axis], max[axis]] = [at[axis] - size.width / 2, at[axis] + size.width / 2];
  [min[other], max[other]] = [Math.min(...ends) - size.width / 2, Math.max(...ends) + size.width / 2];
  return { min, max };
}

function placeFeeders({ columns, feeders, frame }: PlacingTask): (Spot & { size: FeederSize })[] {
  const placed: (Spot & { size: FeederSize })[] = [];
  for (const size of feeders) {
    const near = (k: number): boolean =>
      placed.some((p) => Math.hypot(p.x - columns.x[k], p.y - columns.y[k]) < (p.size.diameter + size.diameter) / 2);
    let best = -1;
    if (size.at) {
      const [x, y] = intoFrame(frame, size.at);
      best = nearestColumn(columns, x, y);
    } else {
      let most = -Infinity;
      for (let k = 0; k < columns.x.length; k++) {
        const thick = columns.top[k] - columns.bottom[k];
        if (thick > most && !near(k)) [best, most] = [k, thick];
      }
    }
    if (best >= 0) placed.push({ x: columns.x[best], y: columns.y[best], z: columns.top[best], size });
  }
  return placed;
}

function nearestColumn({ x, y, top }: FrameColumns, px: number, py: number): number {
  let best = -1;
  let least = Infinity;
  for (let k = 0; k < x.length; k++) {
    if (top[k] === -Infinity) continue;
    const far = Math.hypot(x[k] - px, y[k] - py);
    if (far < least) [best, least] = [k, far];
  }
  return best;
}

/** Vents stand on the highest places that are a fifth of the casting apart and not under a feeder. */
function placeVents(
  { columns, vents, cavity }: PlacingTask,
  feeders: readonly (Spot & { size: FeederSize })[],
): Spot[] {
  if (!vents) return [];
  const apart = Math.max(cavity.max[0] - cavity.min[0], cavity.max[1] - cavity.min[1]) / 5;
  const mask = Uint8Array.from(columns.top, (top) => Number(top > -Infinity));
  const inside = distanceInside(mask, columns.nu, columns.nv, columns.column);
  // Heights within a hundredth of the casting are equal; of equals the one farthest from the edge is taken.
  const step = Math.max(1e-9, (cavity.max[2] - cavity.min[2]) / 100);
  const order = Array.from(columns.top.keys())
    .filter((k) => mask[k] === 1)
    .map((k) => ({ k, level: Math.round(columns.top[k] / step) }))
    .sort((a, b) => b.level - a.level || inside[b.k] - inside[a.k] || a.k - b.k)
    .map(({ k }) => k);
  const placed: Spot[] = [];
  for (const k of order) {
    if (placed.length >= vents.count) break;
    const [x, y] = [columns.x[k], columns.y[k]];
    const clear = (p: Spot, by: number): boolean => Math.hypot(p.x - x, p.y - y) >= by;
    if (!placed.every((p) => clear(p, apart))) continue;
    if (!feeders.every((p) => clear(p, p.size.diameter / 2 + vents.diameter))) continue;
    placed.push({ x, y, z: columns.top[k] });
  }
  return placed;
}

/** A spot in the file's coordinates. */
export function spotOf(frame: DrawFrame, { x, y, z }: Spot): readonly [number, number, number] {
  return outOfFrame(frame, x, y, z);
}
