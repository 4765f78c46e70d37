/** Solids drawn out from an outline, and plates and blocks with round holes. Round things are inscribed polygons. */
import { ShapeUtils } from 'three/src/extras/ShapeUtils.js';
import { Vector2 } from 'three/src/math/Vector2.js';
import { MeshBuilder, edgesOf, type Mesh } from './mesh.js';
import { rotate, translate } from './transforms.js';

export type Point2 = readonly [number, number];

/** Points of a regular n-gon on a circle, counter-clockwise. */
export function circle(radius: number, n: number, centre: Point2 = [0, 0]): Point2[] {
  return Array.from({ length: n }, (_, i): Point2 => {
    const turn = (2 * Math.PI * i) / n;
    return [centre[0] + radius * Math.cos(turn), centre[1] + radius * Math.sin(turn)];
  });
}

/** Twice the signed area of a polygon, positive counter-clockwise. */
const twiceArea = (points: readonly Point2[]): number =>
  points.reduce((sum, [x, y], i) => {
    const [u, v] = points[(i + 1) % points.length];
    return sum + x * v - u * y;
  }, 0);

/** Area between an outline and its holes. */
export function areaBetween(outline: readonly Point2[], holes: readonly (readonly Point2[])[] = []): number {
  return holes.reduce((sum, hole) => sum - Math.abs(twiceArea(hole)) / 2, Math.abs(twiceArea(outline)) / 2);
}

const turned = (points: readonly Point2[], counterClockwise: boolean): readonly Point2[] =>
  twiceArea(points) > 0 === counterClockwise ? points : points.toReversed();

/** Triangles of a polygon with holes over its own points, outline first, each counter-clockwise. */
export function triangulate(outline: readonly Point2[], holes: readonly (readonly Point2[])[] = []): number[][] {
  const asVectors = (points: readonly Point2[]): Vector2[] => points.map(([x, y]) => new Vector2(x, y));
  const points = [outline, ...holes].flat();
  return ShapeUtils.triangulateShape(asVectors(outline), holes.map(asVectors)).map(([a, b, c]) =>
    twiceArea([points[a], points[b], points[c]]) > 0 ? [a, b, c] : [a, c, b],
  );
}

/**
 * A polygon with holes drawn out along z from 0 to `width`. Either winding will do. An outline that the
 * triangulator cannot close (one that crosses itself or repeats a point) throws.
 */
export function extrude(outline: readonly Point2[], width: number, holes: readonly (readonly Point2[])[] = []): Mesh {
  const loops = [turned(outline, true), ...holes.map((hole) => turned(hole, false))];
  const count = loops.flat().length;
  const build = new MeshBuilder();
  for (const z of [0, width]) for (const [x, y] of loops.flat()) build.corner(x, y, z);
  for (const [a, b, c] of triangulate(loops[0], loops.slice(1))) {
    build.triangle(a, c, b);
    build.triangle(a + count, b + count, c + count);
  }
  let first = 0;
  for (const loop of loops) {
    for (let i = 0; i < loop.length; i++) {
      const [a, b] = [first + i, first + ((i + 1) % loop.length)];
      build.quad(a, b, b + count, a + count);
    }
    first += loop.length;
  }
  const mesh = build.build();
  if (edgesOf(mesh).unbalanced > 0) throw new Error('the outline crosses itself or repeats a point');
  return mesh;
}

/** A section in x–z drawn out along y from 0 to `width`. */
export function extrudeAlongY(
  section: readonly Point2[],
  width: number,
  holes: readonly (readonly Point2[])[] = [],
): Mesh {
  return translate(rotate(extrude(section, width, holes), [1, 0, 0], 90), [0, width, 0]);
}

/** A square plate centred on the z axis from z = 0 to `thickness`, with a round hole of `n` sides through its middle. */
export function plateWithRoundHole(size: number, thickness: number, holeRadius: number, n = 64): Mesh {
  return extrude(squareOutline(size), thickness, [circle(holeRadius, n)]);
}

/** The outline of a square of side `size` about the origin. */
export function squareOutline(size: number): Point2[] {
  const half = size / 2;
  return [
    [-half, -half],
    [half, -half],
    [half, half],
    [-half, half],
  ];
}

/**
 * A square block centred on z from z = 0 to `height`, with a round blind pocket sunk from the top: radius `top` there,
 * `bottom` at `depth` below. Straight when they are equal, conical when not.
 */
export function blockWithRoundPocket(
  size: number,
  height: number,
  top: number,
  bottom: number,
  depth: number,
  n = 64,
): Mesh {
  const build = new MeshBuilder();
  const square = squareOutline(size);
  const ring = turned(circle(top, n), false);
  const low = square.map(([x, y]) => build.corner(x, y, 0));
  const high = square.map(([x, y]) => build.corner(x, y, height));
  const rim = ring.map(([x, y]) => build.corner(x, y, height));
  const floor = ring.map(([x, y]) => build.corner((x * bottom) / top, (y * bottom) / top, height - depth));
  const middle = build.corner(0, 0, height - depth);
  build.quad(low[0], low[3], low[2], low[1]);
  for (let i = 0; i < 4; i++) build.quad(low[i], low[(i + 1) % 4], high[(i + 1) % 4], high[i]);
  const cap = [...high, ...rim];
  for (const [a, b, c] of triangulate(square, [ring])) build.triangle(cap[a], cap[b], cap[c]);
  for (let i = 0; i < n; i++) {
    const k = (i + 1) % n;
    build.quad(rim[k], rim[i], floor[i], floor[k]);
    build.triangle(floor[k], floor[i], middle);
  }
  return build.build();
}
