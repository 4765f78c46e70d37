/** Voids shut in on all sides: no draw of any direction frees the sand (or air) in them. */
import type { Vec3 } from '@oddside/core';
import { NO_SHELL, labelShells, listEdges, type Pattern } from '@oddside/pattern';
import { windingAt } from './probe-surface.js';

/** A void shut in by metal. */
export interface EnclosedVoid {
  readonly volumeMm3: number;
  /** A point in it, in the pattern's coordinates. */
  readonly where: Vec3;
}

/** Shells of a surface: the voids among them, and the handles of the others together (1 for a ring). */
export interface ShellSurvey {
  readonly voids: readonly EnclosedVoid[];
  readonly bodies: number;
  /** Sum over the bodies' shells; `null` where the surface is not closed with two faces to every edge. */
  readonly handles: number | null;
}

/**
 * Looks at the shells: one that is turned inwards and has sand within and metal round it shuts in a void. Taken for
 * granted: that shells do not cut one another.
 *
 * Cost: one sort of the edges, and two passes over the triangles for each shell turned inwards.
 */
export function surveyShells(pattern: Pattern): ShellSurvey {
  const { positions, triangles } = pattern;
  const edges = listEdges(triangles, positions.length / 3);
  const { count, ofTriangle } = labelShells(triangles, edges);
  const volumes = new Float64Array(count);
  const faces = new Uint32Array(count);
  const edgeCounts = new Uint32Array(count);
  let closed = true;
  for (let e = 0; e < edges.count; e++) {
    if (edges.starts[e + 1] - edges.starts[e] !== 2) closed = false;
    edgeCounts[ofTriangle[(edges.halfEdges[edges.starts[e]] / 3) | 0]]++;
  }
  const cornerShell = new Int32Array(positions.length / 3).fill(-1);
  const corners = new Uint32Array(count);
  const [ox, oy, oz] = positions.subarray(0, 3);
  for (let t = 0; t < triangles.length / 3; t++) {
    const shell = ofTriangle[t];
    if (shell === NO_SHELL) continue;
    faces[shell]++;
    const [a, b, c] = [triangles[3 * t] * 3, triangles[3 * t + 1] * 3, triangles[3 * t + 2] * 3];
    const [px, py, pz] = [positions[a] - ox, positions[a + 1] - oy, positions[a + 2] - oz];
    const [qx, qy, qz] = [positions[b] - ox, positions[b + 1] - oy, positions[b + 2] - oz];
    const [rx, ry, rz] = [positions[c] - ox, positions[c + 1] - oy, positions[c + 2] - oz];
    volumes[shell] += (px * (qy * rz - qz * ry) + py * (qz * rx - qx * rz) + pz * (qx * ry - qy * rx)) / 6;
    for (let k = 0; k < 3; k++) {
      const corner = triangles[3 * t + k];
      if (cornerShell[corner] === shell) continue;
      if (cornerShell[corner] >= 0) closed = false;
      cornerShell[corner] = shell;
      corners[shell]++;
    }
  }
  const voids: EnclosedVoid[] = [];
  let handles = 0;
  for (let shell = 0; shell < count; shell++) {
    if (volumes[shell] < 0) {
      const where = closed ? sandBeside(pattern, ofTriangle, shell) : null;
      if (where) voids.push({ volumeMm3: -volumes[shell], where });
    } else {
      handles += 1 - (corners[shell] - edgeCounts[shell] + faces[shell]) / 2;
    }
  }
  return { voids, bodies: volumes.filter((volume) => volume >= 0).length, handles: closed ? handles : null };
}

/** A point of sand beside a shell's largest face, with metal just behind that face; `null` where it is not so. */
export function sandBeside(pattern: Pattern, ofTriangle: Uint32Array, shell: number): Vec3 | null {
  const { positions, triangles } = pattern;
  let largest = -1;
  let most = 0;
  let normal: Vec3 = [0, 0, 0];
  for (let t = 0; t < ofTriangle.length; t++) {
    if (ofTriangle[t] !== shell) continue;
    const [a, b, c] = [triangles[3 * t] * 3, triangles[3 * t + 1] * 3, triangles[3 * t + 2] * 3];
    const [ex, ey, ez] = [
      positions[b] - positions[a],
      positions[b + 1] - positions[a + 1],
      positions[b + 2] - positions[a + 2],
    ];
    const [fx, fy, fz] = [
      positions[c] - positions[a],
      positions[c + 1] - positions[a + 1],
      positions[c + 2] - positions[a + 2],
    ];
    const [nx, ny, nz] = [ey * fz - ez * fy, ez * fx - ex * fz, ex * fy - ey * fx];
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
    if (area <= most) continue;
    most = area;
    largest = t;
    normal = [nx / area, ny / area, nz / area];
  }
  if (largest < 0) return null;
  const middle = [0, 1, 2].map(
    (k) => [0, 1, 2].reduce((sum, j) => sum + positions[3 * triangles[3 * largest + j] + k], 0) / 3,
  );
  // Outward of a void's shell is into the void.
  const off = 1e-3 * Math.sqrt(most);
  const at = (side: number): Vec3 => [0, 1, 2].map((k) => middle[k] + side * off * normal[k]) as unknown as Vec3;
  return windingAt(pattern, at(1)) === 0 && windingAt(pattern, at(-1)) === 1 ? at(1) : null;
}
