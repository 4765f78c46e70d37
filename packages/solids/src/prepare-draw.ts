/** What every task on a draw starts from: the frame, the mesh in it, its faces by side, and the body. */
import type { Vec3 } from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import { bodyOf } from './convert-body.js';
import { frameMesh, makeFrame, type DrawFrame, type FramedMesh } from './draw-frame.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { sortFaces, type FaceSides } from './sort-faces.js';

export interface PreparedDraw {
  readonly frame: DrawFrame;
  readonly mesh: FramedMesh;
  readonly sides: FaceSides;
  readonly body: Body;
  /** How far a volume told by exact solids can be off, mm³: the rounding of 32-bit coordinates over the whole surface. */
  readonly errorMm3: number;
}

/** @throws OddsideError `bad-direction`, `bad-pattern`, `no-triangles`. */
export function prepareDraw(scope: Scope, pattern: Pattern, direction: Vec3): PreparedDraw {
  checkPattern(pattern);
  const frame = makeFrame(pattern, direction);
  const mesh = frameMesh(frame, pattern);
  const body = bodyOf(scope, mesh, 'The pattern');
  const sides = sortFaces(mesh);
  const height = mesh.box.max[2] - mesh.box.min[2];
  // Rounding on the way in, the kernel's own tolerance (twice that), rounding on the way out; and the same again for whoever
  // reads the result back.
  const errorMm3 = 8 * mesh.rounding * body.surfaceArea() + sides.skippedMm2 * height;
  return { frame, mesh, sides, body, errorMm3 };
}
