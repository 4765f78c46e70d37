/** What every task on a draw starts from: the frame, the mesh in it, its faces by side, and the body. */
import type { Vec3 } from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import { bodyOf, checkOutward } from './convert-body.js';
import { frameMesh, makeFrame, type DrawFrame, type FramedMesh } from './draw-frame.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { sortFaces, type FaceSides } from './sort-faces.js';

/** A pattern in the frame of a draw, before the kernel has seen it. */
export interface FramedDraw {
  readonly frame: DrawFrame;
  readonly mesh: FramedMesh;
  readonly sides: FaceSides;
  readonly volumeMm3: number;
  /** How far a volume told by exact solids can be off, mm³: the rounding of 32-bit coordinates over the whole surface. */
  readonly errorMm3: number;
}

export interface PreparedDraw extends FramedDraw {
  readonly body: Body;
  /** What reading the mesh changed of its volume, mm³: part of `errorMm3`. */
  readonly readingMm3: number;
}

/** The pattern in the frame, without a body: for tasks that need none. @throws OddsideError `bad-direction`, `bad-pattern`, `no-triangles`. */
export function frameDraw(pattern: Pattern, direction: Vec3): FramedDraw {
  checkPattern(pattern);
  const frame = makeFrame(pattern, direction);
  const mesh = frameMesh(frame, pattern);
  const sides = sortFaces(mesh);
  const height = mesh.box.max[2] - mesh.box.min[2];
  const { volumeMm3, areaMm2 } = sumFaces(mesh);
  checkOutward(volumeMm3, 'The pattern');
  // Rounding on the way in, the kernel's own tolerance (twice that), rounding on the way out; and the same again for whoever
  // reads the result back.
  const errorMm3 = 8 * mesh.rounding * areaMm2 + sides.skippedMm2 * height;
  return { frame, mesh, sides, volumeMm3, errorMm3 };
}

/** @throws OddsideError `bad-direction`, `bad-pattern`, `no-triangles`. */
export function prepareDraw(scope: Scope, pattern: Pattern, direction: Vec3): PreparedDraw {
  return withBody(scope, frameDraw(pattern, direction));
}

/** A framed draw with its body. @throws OddsideError `bad-pattern`. */
export function withBody(scope: Scope, draw: FramedDraw): PreparedDraw {
  const body = bodyOf(scope, draw.mesh, 'The pattern');
  // Reading a mesh, the kernel takes some corners out. Beside a tall thin face that can move far more than its tolerance,
  // so what it moved is measured and not assumed.
  const readingMm3 = Math.abs(body.volume() - draw.volumeMm3);
  return { ...draw, body, readingMm3, errorMm3: draw.errorMm3 + readingMm3 };
}

/** How far rounding to 32 bits can move the volume of a body that is read out, mm³. */
export function roundingErrorMm3(body: Body): number {
  const { min, max } = body.boundingBox();
  const size = Math.max(...[...min, ...max].map(Math.abs));
  return 8 * size * 2 ** -24 * body.surfaceArea();
}

function sumFaces({ points: p, triangles }: FramedMesh): { volumeMm3: number; areaMm2: number } {
  let volume = 0;
  let area = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const ux = p[b] - p[a];
    const uy = p[b + 1] - p[a + 1];
    const uz = p[b + 2] - p[a + 2];
    const vx = p[c] - p[a];
    const vy = p[c + 1] - p[a + 1];
    const vz = p[c + 2] - p[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    volume += nx * p[a] + ny * p[a + 1] + nz * p[a + 2];
    area += Math.sqrt(nx * nx + ny * ny + nz * nz);
  }
  return { volumeMm3: volume / 6, areaMm2: area / 2 };
}
