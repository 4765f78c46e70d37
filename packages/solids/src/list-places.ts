/** Where separate pieces of a body are, and how large. */
import type { Vec3 } from '@oddside/core';
import { meshOfBody } from './convert-body.js';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** One piece. */
export interface SandPlace {
  readonly volumeMm3: number;
  /** Its centre of volume, mm in the pattern's coordinates. */
  readonly where: Vec3;
  /** Its size across the draw (two ways) and along it, mm. */
  readonly size: Vec3;
}

/** The pieces of a body, largest first, at most `most`. Films thinner than the kernel can hold apart come out as nothing. */
export function listPlaces(scope: Scope, frame: DrawFrame, body: Body, most = 20): SandPlace[] {
  const parts = body.decompose().map((part) => scope.own(part));
  const sized = parts.map((part) => ({ part, volume: part.volume() })).filter(({ volume }) => volume > 0);
  sized.sort((a, b) => b.volume - a.volume);
  const places = sized.slice(0, most).map(({ part, volume }): SandPlace => {
    const { min, max } = part.boundingBox();
    return {
      volumeMm3: volume,
      where: outOfFrame(frame, ...centroidOf(part)),
      size: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
    };
  });
  for (const part of parts) scope.free(part);
  return places;
}

/** Centre of volume, in the frame. */
export function centroidOf(body: Body): [number, number, number] {
  const { points: p, triangles } = meshOfBody(body);
  const { min, max } = body.boundingBox();
  // Counted from the middle of the box, where the sums lose least.
  const mid = [0, 1, 2].map((k) => (min[k] + max[k]) / 2);
  const moment = [0, 0, 0];
  let six = 0;
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [3 * triangles[i], 3 * triangles[i + 1], 3 * triangles[i + 2]];
    const at = (corner: number, k: number): number => p[corner + k] - mid[k];
    const volume =
      at(a, 0) * (at(b, 1) * at(c, 2) - at(b, 2) * at(c, 1)) +
      at(a, 1) * (at(b, 2) * at(c, 0) - at(b, 0) * at(c, 2)) +
      at(a, 2) * (at(b, 0) * at(c, 1) - at(b, 1) * at(c, 0));
    six += volume;
    for (let k = 0; k < 3; k++) moment[k] += (volume * (at(a, k) + at(b, k) + at(c, k))) / 4;
  }
  const inside = (k: number): number =>
    six > 0 ? Math.max(min[k], Math.min(max[k], mid[k] + moment[k] / six)) : mid[k];
  return [inside(0), inside(1), inside(2)];
}
