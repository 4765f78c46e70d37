/**
 * Solids whose behaviour in the sand is known in closed form. Sizes are those the closed forms are stated for; the
 * comment says what is known. `G`: back draft volume along a draw. All derived here by hand; no outside source.
 */
import { boxesUnion, span } from './cells.js';
import { extrudeAlongY, type Point2 } from './extrude.js';
import { merge, type Mesh, type Point } from './mesh.js';
import { torus } from './revolve.js';
import { tubeAlong } from './solids.js';
import { rotate, translate } from './transforms.js';

/** L section 2×2 less 1×1, drawn out along y. G = 0 along y, ±x, ±z, (1,0,1); along (cos a, 0, -sin a): (w/2)·min(tan a, cot a). */
export function lBracket(w = 1): Mesh {
  return boxesUnion([span([0, 2], [0, w], [0, 2])], [span([1, 2], [0, w], [1, 2])]);
}

/** Steps round a 3×3 square, each half a unit higher. G = 0 along z; with 8 steps no unbroken parting exists. */
export function spiralStair(steps: 7 | 8): Mesh {
  const plan = ['00', '10', '20', '21', '22', '12', '02', '01'].slice(0, steps);
  return boxesUnion(
    plan.map((place, i) => {
      const [x, y] = [Number(place[0]), Number(place[1])];
      return span([x, x + 1], [y, y + 1], [i / 2, i / 2 + 1]);
    }),
  );
}

/** Three stepped blocks, the lowest with a pocket in its top. Only ±z draws (G = 1 along x or y), and the best flat parting misfits by 5. */
export function pinnedStairs(): Mesh {
  return boxesUnion(
    [span([0, 2], [0, 2], [0, 2]), span([2, 4], [0, 2], [1.5, 3.5]), span([4, 6], [0, 2], [3, 5])],
    [span([0.5, 1.5], [0.5, 1.5], [1, 2])],
  );
}

/** A channel along y with lips over its slot. G: y 0, z 3w, x 4.5w. */
export function lippedChannel(w = 1): Mesh {
  return boxesUnion([span([0, 4], [0, w], [0, 4])], [span([1, 3], [0, w], [1, 3]), span([1.75, 2.25], [0, w], [3, 4])]);
}

/**
 * A block with a dovetail slot along y in its top, `top` wide at the mouth, `bottom` at the floor, `depth` deep.
 * G: z (bottom-top)·depth·w/2, y 0, x (top+bottom)/2·depth·w.
 */
export function dovetail(top = 1, bottom = 2, depth = 1, w = 1): Mesh {
  const width = bottom + 2;
  const [mouth, floor, height] = [(width - top) / 2, 1, depth + 1];
  const left: Point2[] = [
    [0, 0],
    [width, 0],
    [width, height],
    [width - mouth, height],
  ];
  return extrudeAlongY([...left, [width - 1, floor], [1, floor], [mouth, height], [0, height]], w);
}

/** A square mug with a handle. Volume 55; G: z 3, x 15, y 12; no direction draws. */
export function blockyMug(): Mesh {
  const handle = [span([4, 6], [1.5, 2.5], [3, 3.5]), span([4, 6], [1.5, 2.5], [0.5, 1])];
  return boxesUnion(
    [span([0, 4], [0, 4], [0, 4]), ...handle, span([5.5, 6], [1.5, 2.5], [0.5, 3.5])],
    [span([1, 3], [1, 3], [1, 4])],
  );
}

/** A cube of side 2 with a cubic cavity of side 1. G = 1 along every direction. */
export function hollowCube(): Mesh {
  return boxesUnion([span([0, 2], [0, 2], [0, 2])], [span([0.5, 1.5], [0.5, 1.5], [0.5, 1.5])]);
}

/** A cube of side 6 with 1×1 blind pockets in its +z and +y faces. Never draws. */
export function twoPocketCube(depth = 2): Mesh {
  return boxesUnion(
    [span([0, 6], [0, 6], [0, 6])],
    [span([2.5, 3.5], [2.5, 3.5], [6 - depth, 6]), span([2.5, 3.5], [6 - depth, 6], [2.5, 3.5])],
  );
}

/** A notch open sideways to +x. G: z w, along (sin a, 0, cos a) w(1 - tan a/2) up to 45°, x and y 0. */
export function uNotch(w = 1): Mesh {
  return boxesUnion([span([0, 2], [0, w], [0, 3])], [span([1, 2], [0, w], [1, 2])]);
}

/** Two arms on a floor. G: z and y 0, x 2w. */
export function twoArms(w = 1): Mesh {
  return boxesUnion([span([0, 3], [0, w], [0, 3])], [span([1, 2], [0, w], [1, 3])]);
}

/** A square plate from the origin with a square hole of side `q` through it. Tilted parallel to a side: G = 0 while thickness·tan ≤ q, else q²(thickness - q/tan). */
export function plateWithSquareHole(size: number, thickness: number, q: number): Mesh {
  const hole = [(size - q) / 2, (size + q) / 2] as const;
  return boxesUnion([span([0, size], [0, size], [0, thickness])], [span(hole, hole, [0, thickness])]);
}

/** A square block from the origin with a blind pocket `s` (x) by `w` (y) by `depth` in its top. Tilted in x by t = tan: G = w·depth²·t/2 while depth·t ≤ s, else w(s·depth - s²/(2t)). */
export function blockWithSquarePocket(size: number, height: number, s: number, w: number, depth: number): Mesh {
  const across = (width: number): [number, number] => [(size - width) / 2, (size + width) / 2];
  return boxesUnion([span([0, size], [0, size], [0, height])], [span(across(s), across(w), [height - depth, height])]);
}

/** Two rings, each through the other. Never draws. */
export function linkedRings(R = 1, r = 0.25, nu = 96, nv = 32): Mesh {
  const ring = torus(R, r, nu, nv);
  return merge(ring, translate(rotate(ring, [1, 0, 0], 90), [R, 0, 0]));
}

/** A round bar in a trefoil knot. Never draws. */
export function trefoil(r = 0.35, nu = 240, nv = 24): Mesh {
  const round = (s: number): number => 2 * Math.PI * s;
  const at = (s: number): Point => {
    const out = 2 + Math.cos(3 * round(s));
    return [out * Math.cos(2 * round(s)), out * Math.sin(2 * round(s)), Math.sin(3 * round(s))];
  };
  const beside = (s: number): Point => {
    const [c, out] = [Math.cos(3 * round(s)), Math.sin(3 * round(s))];
    return [c * Math.cos(2 * round(s)), c * Math.sin(2 * round(s)), out];
  };
  return tubeAlong(at, beside, r, nu, nv);
}
