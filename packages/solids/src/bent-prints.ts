/**
 * A core print of a mouth that bends, up to a ring all round the pattern: the mouth grown outward in plan by the print's
 * length, so that the core lies in a seat along all of it. A straight print could only be drawn out of a part of it.
 */
import type { Vec3 } from '@oddside/core';
import type { Mouth } from './core-mouths.js';
import type { PlacedPrint, PrintWish } from './core-prints.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** Mouths of more faces are left: the kernel takes some 3 ms for each. */
const MOST_FACES = 4000;
/** Ways out from each corner of the mouth, over half a turn. */
const WAYS = 9;
/** How far a print reaches back into the place, as a share of its height, so that both are one solid. */
const INTO = 0.02;
/** However it tapers, a print keeps this share of its length. */
const LEAST = 0.2;

/**
 * Grows a mouth outward. `null` where metal stands in the way at every length tried (whole, half and a quarter), or where
 * the mouth has too many faces.
 *
 * @param widest Height at which the print is widest, mm in the frame: from there it tapers up and down.
 */
export function drawBentPrint(
  scope: Scope,
  metal: Body,
  mouth: Mouth,
  length: number,
  widest: number,
  { taperDeg, clearance }: PrintWish,
): PlacedPrint | null {
  if (mouth.triangles.length / 3 > MOST_FACES) return null;
  const taper = Math.tan((taperDeg * Math.PI) / 180);
  const into = INTO * mouth.height;
  for (const share of [1, 0.5, 0.25]) {
    const long = share * length;
    const onCore = grown(scope, mouth, widest, { long, taper, into, taller: 0 });
    const clear = scope.cut(onCore, metal);
    const inTheWay = onCore.volume() - clear.volume();
    if (inTheWay > (into + clearance) * mouth.areaMm2) continue;
    const room = { long: long + clearance * (1 + taper), taper, into, taller: clearance };
    const onPattern = clearance === 0 ? onCore : grown(scope, mouth, widest, room);
    return { mouth, length: long, onCore: clear, onPattern };
  }
  return null;
}

interface Growth {
  readonly long: number;
  readonly taper: number;
  readonly into: number;
  /** Higher by so much above and below, mm. */
  readonly taller: number;
}

type Point = [number, number, number];

/** Each face of the mouth with all that lies within the length before it, as one convex solid; and all those as one. */
function grown(scope: Scope, { points: p, triangles, middle, height }: Mouth, widest: number, growth: Growth): Body {
  const { long, taper, into, taller } = growth;
  const stretch = 1 + taller / (height / 2);
  const bodies: Body[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const face = [0, 1, 2].map((k): Point => {
      const n = 3 * triangles[t + k];
      return [p[n], p[n + 1], middle[2] + stretch * (p[n + 2] - middle[2])];
    });
    const way = outOf(face);
    const across = Math.atan2(way[1], way[0]);
    const corners = [...face, ...crossings(face, widest)];
    const hull = corners.flatMap(([x, y, z]): Point[] => {
      const reach = Math.max(LEAST * long, long - taper * Math.abs(z - widest));
      const fan = Array.from({ length: WAYS }, (_, k): Point => {
        const turn = across + (k / (WAYS - 1) - 0.5) * Math.PI;
        return [x + reach * Math.cos(turn), y + reach * Math.sin(turn), z];
      });
      return [[x - into * way[0], y - into * way[1], z], ...fan];
    });
    bodies.push(scope.own(scope.kernel.Manifold.hull(hull)));
  }
  const whole = scope.unite(bodies);
  for (const body of bodies) if (body !== whole) scope.free(body);
  return whole;
}

/** The way an upright face looks, level. */
function outOf([a, b, c]: readonly Point[]): Vec3 {
  const [ux, uy, uz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const [vx, vy, vz] = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  const [x, y] = [uy * vz - uz * vy, uz * vx - ux * vz];
  const size = Math.hypot(x, y);
  return [x / size, y / size, 0];
}

/** Where the edges of a face cross a height. */
function crossings(face: readonly Point[], height: number): Point[] {
  return face.flatMap((a, k): Point[] => {
    const b = face[(k + 1) % 3];
    const [ha, hb] = [a[2] - height, b[2] - height];
    if (ha * hb >= 0) return [];
    const s = ha / (ha - hb);
    return [[a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), height]];
  });
}
