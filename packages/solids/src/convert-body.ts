/** Patterns into the kernel and back. */
import { OddsideError, formatVolume, type Bounds, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { outOfFrame, type DrawFrame, type FramedMesh } from './draw-frame.js';
import type { Body, KernelMesh } from './kernel.js';
import { kernelError, statusOf, type Scope } from './own-bodies.js';
import { partSheets } from './part-sheets.js';

/**
 * A body from a framed mesh.
 *
 * @throws OddsideError `bad-pattern` where the surface is open, inconsistent, or turned inside out as a whole. (The kernel
 * takes an inside-out mesh without a word and then answers wrongly.)
 */
export function bodyOf(scope: Scope, mesh: FramedMesh, what = 'The pattern'): Body {
  const body = bodyOfArrays(scope, mesh.points, mesh.triangles, what);
  checkOutward(body.volume(), what);
  return body;
}

/** @throws OddsideError `bad-pattern` where a volume is negative. */
export function checkOutward(volume: number, what: string): void {
  if (volume < 0) {
    throw new OddsideError(
      'bad-pattern',
      `${what} was expected to have its faces outward, but they point inward (its volume comes out as -${formatVolume(-volume)}). Mend it: turn its faces.`,
      { volumeMm3: volume },
    );
  }
}

/** A body from corners (n×3, 32 bit) and triangles, whichever way its faces point. */
export function bodyOfArrays(scope: Scope, points: Float32Array, triangles: Uint32Array, what: string): Body {
  const { Mesh, Manifold } = scope.kernel;
  try {
    const body = scope.own(Manifold.ofMesh(new Mesh({ numProp: 3, vertProperties: points, triVerts: triangles })));
    const status = body.status();
    if (status !== 'NoError') throw kernelError(status, `reading ${what.toLowerCase()}`);
    return body;
  } catch (error) {
    const status = statusOf(error);
    if (status === null) throw error;
    throw kernelError(status, `reading ${what.toLowerCase()}`, error);
  }
}

/** Corners (n×3) and triangles in the frame. */
export interface PlainMesh {
  readonly points: Float32Array;
  readonly triangles: Uint32Array;
}

/** A mesh in the frame, as read back from the kernel. Corners that the kernel holds to be one are one. */
export function meshOfBody(body: Body): PlainMesh {
  const mesh = body.getMesh();
  const triangles = joinMerged(mesh);
  const stride = mesh.numProp;
  const corner = new Int32Array(mesh.vertProperties.length / stride).fill(-1);
  const out = new Uint32Array(triangles.length);
  const kept: number[] = [];
  for (let i = 0; i < triangles.length; i++) {
    const old = triangles[i];
    if (corner[old] < 0) corner[old] = kept.push(old) - 1;
    out[i] = corner[old];
  }
  const points = new Float32Array(kept.length * 3);
  for (let k = 0; k < kept.length; k++) {
    for (let axis = 0; axis < 3; axis++) points[k * 3 + axis] = mesh.vertProperties[kept[k] * stride + axis];
  }
  return { points, triangles: out };
}

function joinMerged({ triVerts, mergeFromVert, mergeToVert, vertProperties, numProp }: KernelMesh): Uint32Array {
  if (mergeFromVert.length === 0) return triVerts;
  const target = Uint32Array.from({ length: vertProperties.length / numProp }, (_, i) => i);
  for (let i = 0; i < mergeFromVert.length; i++) target[mergeFromVert[i]] = mergeToVert[i];
  return triVerts.map((v) => target[v]);
}

/**
 * A body as a pattern in the file's coordinates.
 *
 * @throws OddsideError `infeasible` for an empty body: callers check first and say what is missing.
 */
export function patternOf(frame: DrawFrame, body: Body, name: string): Pattern {
  if (body.isEmpty()) throw new OddsideError('infeasible', `${name} was expected to be a solid, but nothing is left.`);
  return patternOfMesh(frame, meshOfBody(body), name);
}

/** A mesh in the frame as a pattern in the file's coordinates, with sheets that touch moved apart. */
export function patternOfMesh(frame: DrawFrame, mesh: PlainMesh, name: string): Pattern {
  const pattern = patternToLookAt(frame, mesh, name);
  return { ...pattern, positions: partSheets(pattern.positions, pattern.triangles) };
}

/** {@link patternOfMesh} for measuring only, sheets as they are: nothing that goes into a file. */
export function patternToLookAt(frame: DrawFrame, { points, triangles }: PlainMesh, name: string): Pattern {
  const positions = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 3) {
    const place = outOfFrame(frame, points[i], points[i + 1], points[i + 2]);
    positions[i] = place[0];
    positions[i + 1] = place[1];
    positions[i + 2] = place[2];
  }
  return {
    name,
    positions,
    triangles,
    unit: { name: 'mm', from: 'caller' },
    findings: [],
  };
}

/** A box in the frame as a body. */
export function boxBody(scope: Scope, { min, max }: Bounds): Body {
  const cube = scope.own(scope.kernel.Manifold.cube([max[0] - min[0], max[1] - min[1], max[2] - min[2]]));
  return scope.move(cube, min);
}

/** A box grown by the same length on every side. */
export function growBox({ min, max }: Bounds, by: number): Bounds {
  const grow = (corner: Vec3, d: number): Vec3 => [corner[0] + d, corner[1] + d, corner[2] + d];
  return { min: grow(min, -by), max: grow(max, by) };
}
