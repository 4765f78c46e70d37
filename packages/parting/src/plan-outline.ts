/** What a pattern covers in the joint: the convex outline of its shadow. */
import { dot, frameAcross, unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';

/** A point in the joint, mm. */
export type PlanPoint = readonly [x: number, y: number];
/** Corners of a convex outline, counter-clockwise. */
export type Outline = readonly PlanPoint[];

/** A pattern seen along its draw. */
export interface Plan {
  /** Directions of the joint from which x and y are counted; `u × v` is the draw. */
  readonly u: Vec3;
  readonly v: Vec3;
  /** Heights along the draw, mm from the file's origin; the joint's own where nothing lies beyond it. */
  readonly lowest: number;
  readonly highest: number;
  /** Corners of the shadow's convex outline, counter-clockwise. */
  readonly outline: Outline;
}

/** Heights and outline of a pattern along a draw. Cost: one pass over the corners. */
export function planOf(pattern: Pattern, direction: Vec3, joint: number): Plan {
  const d = unitVector(direction);
  const { u, v } = frameAcross(d);
  const places: [number, number][] = [];
  let [lowest, highest] = [joint, joint];
  for (let i = 0; i < pattern.positions.length; i += 3) {
    const p: Vec3 = [pattern.positions[i], pattern.positions[i + 1], pattern.positions[i + 2]];
    places.push([dot(p, u), dot(p, v)]);
    const h = dot(p, d);
    if (h < lowest) lowest = h;
    if (h > highest) highest = h;
  }
  return { u, v, lowest, highest, outline: convexOutline(places) };
}

/** Andrew's monotone chain. */
export function convexOutline(places: [number, number][]): [number, number][] {
  const sorted = places.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (list: readonly [number, number][]): [number, number][] => {
    const chain: [number, number][] = [];
    for (const p of list) {
      while (chain.length > 1) {
        const [a, b] = [chain[chain.length - 2], chain[chain.length - 1]];
        if ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]) > 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain.slice(0, -1);
  };
  const outline = [...half(sorted), ...half(sorted.toReversed())];
  return outline.length > 0 ? outline : sorted.slice(0, 1);
}

/** The least distance between two parallel lines with the outline between them, mm; one of them lies along a side. */
export function leastWidth(outline: Outline): number {
  let least = Infinity;
  outline.forEach(([x, y], i) => {
    const [nx, ny] = outline[(i + 1) % outline.length]!;
    const side = Math.hypot(nx - x, ny - y);
    if (side === 0) return;
    let reach = 0;
    for (const [px, py] of outline) reach = Math.max(reach, ((nx - x) * (py - y) - (ny - y) * (px - x)) / side);
    least = Math.min(least, reach);
  });
  return least === Infinity ? 0 : least;
}

/** Area of an outline grown by `margin` all round, mm² (Steiner's formula). */
export function paddedArea(outline: Outline, margin: number): number {
  let [twice, around] = [0, 0];
  outline.forEach(([x, y], i) => {
    const [nx, ny] = outline[(i + 1) % outline.length]!;
    twice += x * ny - nx * y;
    around += Math.hypot(nx - x, ny - y);
  });
  return twice / 2 + around * margin + Math.PI * margin * margin;
}
