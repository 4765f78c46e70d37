/** Checks a lay-out in a flask by brute force: every corner against every side of every other outline. */
import { dot, frameAcross, radians, unitVector, type Vec3 } from '@oddside/core';
import { expect } from 'vitest';
import type { PatternToLay, SharedFlask } from '../../packages/parting/src/flask-share.js';

type Point = readonly [number, number];
const NEAR = 1e-5;

/** Fails where a pattern is missing, leaves the flask, or lies nearer to another than the margin. */
export function checkLayout(
  parts: readonly PatternToLay[],
  { flask, laid }: SharedFlask,
  margins: { wallMargin: number; betweenMargin: number; sprueRoom: number },
): void {
  const wanted = parts.flatMap(({ copies = 1 }, part) => Array.from({ length: copies }, (_, k) => `${part}.${k + 1}`));
  expect(laid.map(({ part, copy }) => `${part}.${copy}`)).toEqual(wanted);
  for (const { part, turnDeg, shift, outline } of laid) {
    const { wallMargin, sprueRoom } = margins;
    const { u, v } = frameAcross(unitVector(parts[part]!.direction));
    const [c, s] = [Math.cos(radians(turnDeg)), Math.sin(radians(turnDeg))];
    const { positions } = parts[part]!.pattern;
    // From the mesh itself, not from the outline given: every corner within walls and sprue room, and within the outline.
    for (let i = 0; i < positions.length; i += 3) {
      const p: Vec3 = [positions[i]!, positions[i + 1]!, positions[i + 2]!];
      const [a, b] = [dot(p, u), dot(p, v)];
      const [x, y] = [c * a - s * b + shift[0], s * a + c * b + shift[1]];
      expect(x).toBeGreaterThan(wallMargin - NEAR);
      expect(y).toBeGreaterThan(wallMargin - NEAR);
      expect(x).toBeLessThan(flask.length - wallMargin - sprueRoom + NEAR);
      expect(y).toBeLessThan(flask.width - wallMargin + NEAR);
      expect(outsideBy(outline, [x, y])).toBeLessThan(NEAR);
    }
  }
  laid.forEach((one, i) => {
    for (const other of laid.slice(i + 1)) {
      expect(gapBetween(one.outline, other.outline)).toBeGreaterThan(margins.betweenMargin - NEAR);
    }
  });
}

/** Distance of two convex outlines; negative, by how much at least, where they overlap. */
export function gapBetween(a: readonly Point[], b: readonly Point[]): number {
  const apart = Math.max(separation(a, b), separation(b, a));
  if (apart <= 0) return apart;
  return Math.min(cornersToSides(a, b), cornersToSides(b, a));
}

const sides = (outline: readonly Point[]): [Point, Point][] =>
  outline.map((p, i) => [p, outline[(i + 1) % outline.length]!]);

/** The most that a side of `a` holds all of `b` off. */
function separation(a: readonly Point[], b: readonly Point[]): number {
  return Math.max(
    ...sides(a).map(([p, q]) => {
      const size = Math.hypot(q[0] - p[0], q[1] - p[1]);
      return Math.min(...b.map(([x, y]) => ((q[1] - p[1]) * (x - p[0]) - (q[0] - p[0]) * (y - p[1])) / size));
    }),
  );
}

function cornersToSides(a: readonly Point[], b: readonly Point[]): number {
  let least = Infinity;
  for (const [x, y] of a) {
    for (const [p, q] of sides(b)) {
      const [dx, dy] = [q[0] - p[0], q[1] - p[1]];
      const t = Math.min(1, Math.max(0, ((x - p[0]) * dx + (y - p[1]) * dy) / (dx * dx + dy * dy)));
      least = Math.min(least, Math.hypot(x - p[0] - t * dx, y - p[1] - t * dy));
    }
  }
  return least;
}

function outsideBy(outline: readonly Point[], [x, y]: Point): number {
  return Math.max(
    ...sides(outline).map(
      ([p, q]) => ((q[1] - p[1]) * (x - p[0]) - (q[0] - p[0]) * (y - p[1])) / Math.hypot(q[0] - p[0], q[1] - p[1]),
    ),
  );
}
