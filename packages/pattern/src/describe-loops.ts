/** How long, how wide and where each hole is. */
import type { Vec3 } from '@oddside/core';
import { nextHalfEdge } from './list-edges.js';
import type { OpenLoop } from './trace-open-loops.js';

/** One hole in the surface. */
export interface Hole {
  /** Open edges around it. */
  readonly edges: number;
  /** Length around it, mm. */
  readonly length: number;
  /** Area of a soap film across it, as fans from its middle, mm². */
  readonly areaMm2: number;
  /** Its middle, mm. */
  readonly where: Vec3;
  /** Farthest that two of its corners lie apart, about; mm. */
  readonly span: number;
  /** How far its border leaves the plane that fits it best, as a share of its span: 0 for a flat cut. */
  readonly unevenness: number;
  /** False for a crack whose ends meet an edge with more than two triangles: its border is no ring. */
  readonly ring: boolean;
}

/** Describes one hole by its border. */
export function describeHole(positions: Float64Array, triangles: Uint32Array, loop: OpenLoop): Hole {
  const n = loop.corners.length;
  const at = (i: number): Vec3 => {
    const p = loop.corners[i % n] * 3;
    return [positions[p], positions[p + 1], positions[p + 2]];
  };
  let x = 0;
  let y = 0;
  let z = 0;
  let length = 0;
  for (const h of loop.halfEdges) {
    const p = triangles[h] * 3;
    const q = triangles[nextHalfEdge(h)] * 3;
    length += Math.hypot(
      positions[q] - positions[p],
      positions[q + 1] - positions[p + 1],
      positions[q + 2] - positions[p + 2],
    );
  }
  for (let i = 0; i < n; i++) {
    const p = at(i);
    x += p[0] / n;
    y += p[1] / n;
    z += p[2] / n;
  }
  let film = 0;
  let nx = 0;
  let ny = 0;
  let nz = 0;
  let farthest = 0;
  for (let i = 0; i < n; i++) {
    const p = at(i);
    const q = at(i + 1);
    const ux = p[0] - x;
    const uy = p[1] - y;
    const uz = p[2] - z;
    const vx = q[0] - x;
    const vy = q[1] - y;
    const vz = q[2] - z;
    const cx = uy * vz - uz * vy;
    const cy = uz * vx - ux * vz;
    const cz = ux * vy - uy * vx;
    film += Math.hypot(cx, cy, cz) / 2;
    nx += cx;
    ny += cy;
    nz += cz;
    farthest = Math.max(farthest, Math.hypot(ux, uy, uz));
  }
  const size = Math.hypot(nx, ny, nz) || 1;
  let off = 0;
  for (let i = 0; i < n; i++) {
    const p = at(i);
    off = Math.max(off, Math.abs((p[0] - x) * nx + (p[1] - y) * ny + (p[2] - z) * nz) / size);
  }
  const span = 2 * farthest;
  return {
    edges: n,
    length,
    areaMm2: film,
    where: [x, y, z],
    span,
    unevenness: span > 0 ? off / span : 0,
    ring: loop.ring,
  };
}
