/** What the founder may wish for: this face down, this axis upright, never mark this face, these faces will be machined. */
import {
  angleBetweenDeg,
  checkNumber,
  length,
  OddsideError,
  plainNumber,
  resolveOptions,
  scale as times,
  unitVector,
  type Vec3,
} from '@oddside/core';
import { lookUpSurface, type Pattern, type SurfacePlace } from '@oddside/pattern';
import { admitsDraw, type DrawCone } from './draw-rules.js';
import { pickFace, type FacePick, type PickedFace } from './pick-face.js';

/** Wishes. Coordinates and triangles are those of the pattern that is advised on. */
export interface PartingWishes {
  /** A face that must lie down in the drag. */
  readonly faceDown: FacePick | undefined;
  /** An axis that must stand upright, either end up. */
  readonly upright: Vec3 | undefined;
  /** How far a draw may lean from those two, degrees, 1–60. Default 15: a pattern is often tilted a little to draw well. */
  readonly withinDeg: number;
  /** Faces that the parting line must not cross; it may run along their edges. Keep gates and feeders off them too. */
  readonly unmarked: readonly FacePick[];
  /** Faces that will be machined: they count as better down, see the weight `machined`. */
  readonly machined: readonly FacePick[];
}

/** No wishes: the defaults of {@link PartingWishes}. */
export const NO_WISHES: PartingWishes = Object.freeze({
  faceDown: undefined,
  upright: undefined,
  withinDeg: 15,
  unmarked: Object.freeze([]),
  machined: Object.freeze([]),
});

/** Wishes worked out on a pattern. */
export interface ReadyWishes {
  readonly cones: readonly DrawCone[];
  /** A draw in the middle of all cones, to be tried first; `null` without any. */
  readonly middle: Vec3 | null;
  /** Mean normal by area of the faces to be machined, or `null`. */
  readonly machined: Vec3 | null;
  readonly unmarked: readonly PickedFace[];
  /** The nearest place of the surface; works itself out when it is first asked. */
  readonly nearest: (point: Vec3) => SurfacePlace;
}

/** A face whose normals cancel by more than this has no one way to lie. */
const CURLED = 0.5;

/**
 * Works out wishes.
 *
 * @param size Of the pattern, mm.
 * @throws OddsideError `bad-option`, `bad-number`, `bad-direction`: a face that is not there, wishes that contradict.
 */
export function readyWishes(
  caller: string,
  pattern: Pattern,
  size: number,
  given: Partial<PartingWishes> | undefined,
): ReadyWishes {
  const wishes = resolveOptions(`${caller} wishes`, NO_WISHES, given);
  const withinDeg = checkNumber('withinDeg (degrees)', wishes.withinDeg, { min: 1, max: 60 });
  const ready: { nearest?: (point: Vec3) => SurfacePlace } = {};
  const nearest = (point: Vec3): SurfacePlace => (ready.nearest ??= lookUpSurface(pattern))(point);
  const pick = (face: FacePick, what: string): PickedFace => pickFace(pattern, face, what, size, nearest);
  const cones: DrawCone[] = [];
  if (wishes.faceDown !== undefined) {
    cones.push({ axis: times(facingOf(wishes.faceDown, pick), -1), withinDeg, oneWay: true });
  }
  if (wishes.upright !== undefined) {
    cones.push({ axis: unitVector(wishes.upright, 'The axis upright'), withinDeg, oneWay: false });
  }
  const machined = listOf(wishes.machined, 'machined').map((face) => pick(face, 'machined'));
  const area = machined.reduce((sum, face) => sum + face.areaMm2, 0);
  const mean = [0, 1, 2].map((k) => machined.reduce((sum, face) => sum + face.normal[k] * face.areaMm2, 0) / area);
  return {
    cones,
    middle: middleOf(cones),
    machined: machined.length > 0 ? (mean as unknown as Vec3) : null,
    unmarked: listOf(wishes.unmarked, 'unmarked').map((face) => pick(face, 'unmarked')),
    nearest,
  };
}

function listOf(faces: readonly FacePick[], name: string): readonly FacePick[] {
  if (Array.isArray(faces)) return faces;
  throw new OddsideError('bad-option', `${name} expects a list of faces, such as [{ point: [10, 0, 4] }].`);
}

/** Which way a face looks; one that is given by its normal need not be there. */
function facingOf(face: FacePick, pick: (face: FacePick, what: string) => PickedFace): Vec3 {
  if (typeof face === 'object' && face !== null && 'normal' in face && Object.keys(face).length === 1) {
    return unitVector(face.normal, 'The normal of faceDown');
  }
  const { normal } = pick(face, 'faceDown');
  if (length(normal) >= CURLED) return unitVector(normal);
  throw new OddsideError(
    'bad-option',
    'The face to lie down curls round so far that it looks no one way. Give { normal } or fewer triangles.',
  );
}

/** The middle of one cone, or of the shorter way between the axes of two. */
function middleOf(cones: readonly DrawCone[]): Vec3 | null {
  if (cones.length === 0) return null;
  const [{ axis: down }, other] = cones;
  if (!other) return down;
  const axis = angleBetweenDeg(down, other.axis) > 90 ? times(other.axis, -1) : other.axis;
  const middle = unitVector([down[0] + axis[0], down[1] + axis[1], down[2] + axis[2]]);
  if (admitsDraw(cones, middle)) return middle;
  const apart = plainNumber(angleBetweenDeg(down, axis), 2);
  throw new OddsideError(
    'bad-option',
    `The wishes contradict: the face to lie down and the axis upright are ${apart}° apart, and a draw may lean ${cones[0].withinDeg}° from each. Drop one, or allow more with withinDeg.`,
  );
}
