/**
 * What happens to a place of the surface when the mould is parted: the cope lifts off it, the drag does, either may, or
 * sand is held there.
 *
 * The question is asked at a point, not of a whole face: a face can run from the open into a shadow. A point facing the
 * draw is the cope's when nothing lies above it, a point facing away is the drag's when nothing lies below it. A wall
 * parallel to the draw has four states, because the sand beside it may be free upwards, downwards, both ways or neither.
 * The ray starts in the sand beside the face, never on it. (Geometry of two-part moulds, classes of faces; derived.)
 */
import {
  CELL_BOTTOM,
  CELL_CROSSINGS,
  CELL_METAL,
  CELL_STRIDE,
  CELL_TOP,
  imbalance,
  upwardCrossings,
  type ColumnField,
} from './column-field.js';

/** Codes of the classes: small whole numbers, to be kept one to a triangle or a pixel. */
export const SURFACE_CLASS: Readonly<{
  /** The surface is open here; what lies above and below cannot be told. */
  unknown: 0;
  /** Moulded by the cope. */
  cope: 1;
  /** Moulded by the drag. */
  drag: 2;
  /** Parallel to the draw; the joint may meet it at any height. */
  wallFree: 3;
  /** Parallel to the draw; only the cope can leave it. */
  wallCope: 4;
  /** Parallel to the draw; only the drag can leave it. */
  wallDrag: 5;
  /** Parallel to the draw; the sand beside it is held above and below. */
  wallHeld: 6;
  /** The sand beside it is held whatever the joint. */
  held: 7;
  /** Would leave the sand, but lies on the wrong side of the flat joint asked about. */
  wrongSide: 8;
}> = Object.freeze({
  unknown: 0,
  cope: 1,
  drag: 2,
  wallFree: 3,
  wallCope: 4,
  wallDrag: 5,
  wallHeld: 6,
  held: 7,
  wrongSide: 8,
});

/** Name of a class. */
export type SurfaceClassName = keyof typeof SURFACE_CLASS;
/** Code of a class. */
export type SurfaceClassCode = (typeof SURFACE_CLASS)[SurfaceClassName];

/** What to call each class, by its code. */
export const SURFACE_CLASS_LABELS: readonly string[] = Object.freeze([
  'not known: the surface is open here',
  'in the cope',
  'in the drag',
  'upright wall, joint anywhere',
  'upright wall, must be in the cope',
  'upright wall, must be in the drag',
  'upright wall, sand held beside it',
  'sand held',
  'wrong side of the flat joint',
]);

/** How far out into the sand the query starts, columns: past the furthest column axis that could be nearest to it. */
const INTO_SAND = 0.75;

/**
 * Class of the surface at one point. For a picture, call it for each pixel.
 *
 * @param x @param y @param z The point, mm in the pattern's own coordinates; it should lie on the surface.
 * @param nx @param ny @param nz The outward unit normal there.
 * @param jointHeight Height of a flat joint, mm along the draw from the file's origin; `undefined` for no flat joint.
 * @param wallSine Sine of the draft under which the surface counts as a wall, see `findWallSines`. Default 0.
 * @returns A {@link SURFACE_CLASS} code. Sharp to about a column. Cost: about 30 ns, no allocation.
 */
export function surfaceClassAt(
  field: ColumnField,
  x: number,
  y: number,
  z: number,
  nx: number,
  ny: number,
  nz: number,
  jointHeight?: number,
  wallSine = 0,
): SurfaceClassCode {
  const { direction: d, u, v, origin: o, column } = field;
  const px = x - o[0];
  const py = y - o[1];
  const pz = z - o[2];
  const height = px * d[0] + py * d[1] + pz * d[2];
  const sine = nx * d[0] + ny * d[1] + nz * d[2];
  const wall = Math.abs(sine) <= wallSine;
  // The steeper the face, the further out: then a column axis half a column away still passes it on the sand's side.
  const level = Math.sqrt(Math.max(0, 1 - sine * sine));
  const out = INTO_SAND * level;
  const outU = nx * u[0] + ny * u[1] + nz * u[2];
  const outV = nx * v[0] + ny * v[1] + nz * v[2];
  const ownU = (px * u[0] + py * u[1] + pz * u[2] - field.u0) / column;
  const ownV = (px * v[0] + py * v[1] + pz * v[2] - field.v0) / column;
  const cu = ownU + out * outU;
  const cv = ownV + out * outV;
  const sandHeight = height + out * column * sine;
  const found = wall
    ? wallStateAt(field, cu, cv, height, outU, outV)
    : faceStateAt(field, cu, cv, sandHeight, sine > 0, ownU, ownV);
  if (jointHeight === undefined) return found;
  const above = height - (jointHeight - (o[0] * d[0] + o[1] * d[1] + o[2] * d[2]));
  const near = 1e-7 * (field.highest - field.lowest);
  if ((found === SURFACE_CLASS.cope || found === SURFACE_CLASS.wallCope) && above < -near)
    return SURFACE_CLASS.wrongSide;
  if ((found === SURFACE_CLASS.drag || found === SURFACE_CLASS.wallDrag) && above > near)
    return SURFACE_CLASS.wrongSide;
  return found;
}

/** A leaning face: the cope's or the drag's where nothing lies past it, held where something does. */
function faceStateAt(
  field: ColumnField,
  cu: number,
  cv: number,
  height: number,
  up: boolean,
  ownU: number,
  ownV: number,
): SurfaceClassCode {
  const free = up ? SURFACE_CLASS.cope : SURFACE_CLASS.drag;
  const i = cellAt(field, Math.round(cu), Math.round(cv));
  if (i < 0) return free;
  const { cells } = field;
  const top = cells[i + CELL_TOP];
  const bottom = cells[i + CELL_BOTTOM];
  const crossings = cells[i + CELL_CROSSINGS];
  const past = up ? height - top : bottom - height;
  if (imbalance(crossings) !== 0) return past >= -field.column ? free : SURFACE_CLASS.unknown;
  if (upwardCrossings(crossings) < 2) {
    // One stretch of metal: what faces up is its top and what faces down its bottom, whatever the rounding says. Only where
    // the sand lies clear past the other end can it be otherwise: then the column through the place itself decides.
    const clear = up ? bottom - height : height - top;
    if (clear <= field.column / 2) return free;
    const own = cellAt(field, Math.round(ownU), Math.round(ownV));
    if (own < 0 || own === i || upwardCrossings(cells[own + CELL_CROSSINGS]) < 2) return free;
    return faceStateAt(field, ownU, ownV, height, up, ownU, ownV);
  }
  // The next surface facing the same way lies at least the whole gap further in.
  const gap = Math.max(0, top - bottom - cells[i + CELL_METAL]);
  return past >= -Math.min(gap / 2, field.column) ? free : SURFACE_CLASS.held;
}

/** A wall: is the sand beside it free upwards, downwards, both ways or neither? */
function wallStateAt(
  field: ColumnField,
  cu: number,
  cv: number,
  height: number,
  outU: number,
  outV: number,
): SurfaceClassCode {
  const { cells } = field;
  const ru = Math.round(cu);
  const rv = Math.round(cv);
  const here = cellAt(field, ru, rv);
  if (here < 0) return SURFACE_CLASS.wallFree;
  const state = besideWall(cells, here, height);
  if (state >= 0) return state as SurfaceClassCode;
  // The nearest column runs through metal in one stretch: another wall is closer than a column. Look at the others.
  let best = Infinity;
  let answer = height - cells[here + CELL_BOTTOM] > cells[here + CELL_TOP] - height ? 4 : 5;
  for (let dv = -1; dv <= 1; dv++) {
    for (let du = -1; du <= 1; du++) {
      const far = (ru + du - cu) ** 2 + (rv + dv - cv) ** 2;
      const ahead = (ru + du - cu) * outU + (rv + dv - cv) * outV;
      if (far >= best || ahead < -INTO_SAND) continue;
      const i = cellAt(field, ru + du, rv + dv);
      const other = i < 0 ? SURFACE_CLASS.wallFree : besideWall(cells, i, height);
      if (other < 0) continue;
      best = far;
      answer = other;
    }
  }
  return answer as SurfaceClassCode;
}

/** State of sand at a height in a column; −1 where there is no sand at that height. */
function besideWall(cells: Float64Array, i: number, height: number): number {
  const above = height >= cells[i + CELL_TOP];
  const below = height <= cells[i + CELL_BOTTOM];
  if (above && below) return SURFACE_CLASS.wallFree;
  if (above) return SURFACE_CLASS.wallCope;
  if (below) return SURFACE_CLASS.wallDrag;
  const crossings = cells[i + CELL_CROSSINGS];
  if (imbalance(crossings) !== 0) return SURFACE_CLASS.unknown;
  return upwardCrossings(crossings) < 2 ? -1 : SURFACE_CLASS.wallHeld;
}

/** Start of a column's cell, or −1 off the grid or where the column meets nothing. */
function cellAt(field: ColumnField, cu: number, cv: number): number {
  if (!(cu >= 0 && cv >= 0 && cu < field.nu && cv < field.nv)) return -1;
  const i = (cv * field.nu + cu) * CELL_STRIDE;
  return field.cells[i + CELL_TOP] === -Infinity ? -1 : i;
}
