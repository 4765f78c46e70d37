/** The faces of a framed mesh by which way they look along the draw. */
import type { FramedMesh } from './draw-frame.js';

export interface FaceSides {
  /** Triangles that look up the draw, and down it. Those along it, or too thin in plan to matter, are in neither. */
  readonly up: Uint32Array;
  readonly down: Uint32Array;
  /** Plan area of the faces left out as too thin, mm². What they could hide is at most this times the height above them. */
  readonly skippedMm2: number;
}

/** Sorts the faces. Cost: one pass, about 10 ns a triangle. */
export function sortFaces({ points, triangles, rounding }: FramedMesh): FaceSides {
  const count = triangles.length / 3;
  const up = new Uint32Array(count);
  const down = new Uint32Array(count);
  let ups = 0;
  let downs = 0;
  let skipped = 0;
  for (let t = 0; t < count; t++) {
    const a = triangles[3 * t] * 3;
    const b = triangles[3 * t + 1] * 3;
    const c = triangles[3 * t + 2] * 3;
    const ux = points[b] - points[a];
    const uy = points[b + 1] - points[a + 1];
    const vx = points[c] - points[a];
    const vy = points[c + 1] - points[a + 1];
    const twice = ux * vy - uy * vx;
    if (twice === 0) continue;
    const longest = Math.sqrt(Math.max(ux * ux + uy * uy, vx * vx + vy * vy, (ux - vx) ** 2 + (uy - vy) ** 2));
    // Thinner in plan than the rounding of its own corners: which way it looks is not known.
    if (Math.abs(twice) <= 2 * rounding * longest) skipped += Math.abs(twice) / 2;
    else if (twice > 0) up[ups++] = t;
    else down[downs++] = t;
  }
  return { up: up.slice(0, ups), down: down.slice(0, downs), skippedMm2: skipped };
}
