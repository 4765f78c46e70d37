/** The turns in plan worth trying for an outline, and how near two turned outlines may come. */
import { radians } from '@oddside/core';
import type { Outline, PlanPoint } from './plan-outline.js';

/** An outline turned and moved so that its box starts at the origin. */
export interface TurnedOutline {
  /** Turn about the draw, degrees 0–360, right-handed. */
  readonly turnDeg: number;
  /** What was added after the turn, mm. */
  readonly shift: PlanPoint;
  readonly points: Outline;
  /** Its box, mm. */
  readonly length: number;
  readonly width: number;
}

/** Corners above which an outline is replaced by one of about this many round it: packing grows with their square. */
const MOST_CORNERS = 40;
/** Sides of the polygon that stands for a round margin; it touches the circle from outside, on the axes too. */
const MARGIN_SIDES = 24;

/** One turn of an outline. */
export function turnOutline(outline: Outline, turnDeg: number): TurnedOutline {
  const quarter = turnDeg % 90 === 0 ? turnDeg / 90 : undefined;
  // Quarter turns are exact, so that rectangles stay rectangles to the last bit.
  const c = quarter === undefined ? Math.cos(radians(turnDeg)) : [1, 0, -1, 0][quarter % 4]!;
  const s = quarter === undefined ? Math.sin(radians(turnDeg)) : [0, 1, 0, -1][quarter % 4]!;
  const turned = outline.map(([x, y]): PlanPoint => [c * x - s * y, s * x + c * y]);
  const [x0, y0, x1, y1] = boxOf(turned);
  return {
    turnDeg,
    shift: [-x0, -y0],
    points: turned.map(([x, y]): PlanPoint => [x - x0, y - y0]),
    length: x1 - x0,
    width: y1 - y0,
  };
}

function boxOf(points: Outline): [number, number, number, number] {
  const box: [number, number, number, number] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    box[0] = Math.min(box[0], x);
    box[1] = Math.min(box[1], y);
    box[2] = Math.max(box[2], x);
    box[3] = Math.max(box[3], y);
  }
  return box;
}

/**
 * Turns worth trying: the edges with the tightest boxes laid along the flask, each in four quarters, and with `more`
 * every 15 degrees besides. Turns that look alike are given once.
 */
export function turnsOf(outline: Outline, more: boolean): TurnedOutline[] {
  const edges = outline
    .map(([x, y], i) => {
      const [nx, ny] = outline[(i + 1) % outline.length]!;
      return wrap((-Math.atan2(ny - y, nx - x) * 180) / Math.PI, 90);
    })
    .map((turnDeg) => ({ turnDeg, box: turnOutline(outline, turnDeg) }))
    .sort((a, b) => areaOf(a.box) - areaOf(b.box) || a.turnDeg - b.turnDeg);
  const tight: number[] = [];
  for (const { turnDeg } of edges) {
    if (tight.length < 4 && tight.every((other) => apart(other, turnDeg) > 0.01)) tight.push(turnDeg);
  }
  // What is as good as round gains nothing from turning.
  const [smallest, largest] = [edges[0], edges.at(-1)];
  const round = smallest && largest && areaOf(largest.box) < 1.02 * areaOf(smallest.box) && outline.length > 8;
  if (round) return [smallest.box];
  const bases = more ? [...tight, ...[0, 15, 30, 45, 60, 75].filter((deg) => !tight.includes(deg))] : tight;
  const found = new Map<string, TurnedOutline>();
  for (const base of bases) {
    for (const quarter of [0, 90, 180, 270]) {
      const turned = turnOutline(outline, base + quarter);
      const key = turned.points
        .map(([x, y]) => `${Math.round(x * 1e6)},${Math.round(y * 1e6)}`)
        .sort()
        .join(' ');
      if (!found.has(key)) found.set(key, turned);
    }
  }
  return [...found.values()];
}

const areaOf = (box: TurnedOutline): number => box.length * box.width;
const wrap = (deg: number, turn: number): number => {
  const left = ((deg % turn) + turn) % turn;
  // A hair under a whole turn is a rounded zero; exact quarters keep rectangles exact.
  return left < 1e-9 || turn - left < 1e-9 ? 0 : left;
};
const apart = (a: number, b: number): number => Math.min(wrap(a - b, 90), wrap(b - a, 90));

/** An outline of few corners that holds the given one: support lines evenly round it and along its longest sides. */
export function roundOutline(outline: Outline): Outline {
  if (outline.length <= MOST_CORNERS) return outline;
  const even = Array.from({ length: MOST_CORNERS }, (_, k) => (2 * Math.PI * k) / MOST_CORNERS);
  const sides = outline
    .map(([x, y], i) => {
      const [nx, ny] = outline[(i + 1) % outline.length]!;
      const angle = Math.atan2(x - nx, ny - y);
      return { length: Math.hypot(nx - x, ny - y), angle: angle < 0 ? angle + 2 * Math.PI : angle };
    })
    .sort((a, b) => b.length - a.length || a.angle - b.angle)
    .slice(0, 8);
  const normals = [...even, ...sides.map((side) => side.angle)]
    .sort((a, b) => a - b)
    .filter((angle, i, all) => i === 0 || angle - all[i - 1]! > 1e-6);
  const reach = normals.map((angle) => {
    const [c, s] = [Math.cos(angle), Math.sin(angle)];
    return outline.reduce((most, [x, y]) => Math.max(most, c * x + s * y), -Infinity);
  });
  return normals.map((a, i): PlanPoint => {
    const j = (i + 1) % normals.length;
    const b = normals[j]!;
    const sine = Math.sin(b - a);
    return [
      (reach[i]! * Math.sin(b) - reach[j]! * Math.sin(a)) / sine,
      (reach[j]! * Math.cos(a) - reach[i]! * Math.cos(b)) / sine,
    ];
  });
}

/** A disc's outline for a margin all round, mm; a point where there is none. */
export function marginOutline(margin: number): Outline {
  if (margin === 0) return [[0, 0]];
  const step = (2 * Math.PI) / MARGIN_SIDES;
  const corner = margin / Math.cos(step / 2);
  return Array.from({ length: MARGIN_SIDES }, (_, k) => [
    corner * Math.cos(step * (k + 0.5)),
    corner * Math.sin(step * (k + 0.5)),
  ]);
}

/** The points of one convex outline added to all of another's (Minkowski sum), counter-clockwise. */
export function addOutlines(a: Outline, b: Outline): PlanPoint[] {
  const [p, q] = [fromLowest(a), fromLowest(b)];
  const sum: PlanPoint[] = [];
  const [na, nb] = [p.length > 1 ? p.length : 0, q.length > 1 ? q.length : 0];
  let [i, j] = [0, 0];
  do {
    const [pi, qj] = [p[i % p.length]!, q[j % q.length]!];
    sum.push([pi[0] + qj[0], pi[1] + qj[1]]);
    const [pn, qn] = [p[(i + 1) % p.length]!, q[(j + 1) % q.length]!];
    const turn = (pn[0] - pi[0]) * (qn[1] - qj[1]) - (pn[1] - pi[1]) * (qn[0] - qj[0]);
    const forward = j >= nb || (i < na && turn >= 0);
    if (!forward || (i < na && j < nb && turn === 0)) j += 1;
    if (forward) i += 1;
  } while (i < na || j < nb);
  return sum;
}

/** Counter-clockwise from the lowest corner, the leftmost of equals. */
function fromLowest(outline: Outline): Outline {
  let first = 0;
  outline.forEach(([x, y], i) => {
    const [fx, fy] = outline[first]!;
    if (y < fy || (y === fy && x < fx)) first = i;
  });
  return [...outline.slice(first), ...outline.slice(0, first)];
}

/** The outline seen from the other side of the origin. */
export const mirrored = (outline: Outline): Outline => outline.map(([x, y]): PlanPoint => [-x, -y]);
