/**
 * The edges from which cones must hang so that every steep face has its draft.
 *
 * From a point of a face that is too steep one can go up the face, and the cone that hangs from any point farther up holds
 * the point one came from, with its own cone: it widens faster than the face leans. So one goes up from face to face, and
 * only where the way ends must a cone hang: at edges over which no steep face goes on. On a fine mesh those are few: a
 * line round each shoulder, where faces too steep end, instead of all the faces below it.
 *
 * Faces that hang over by more than the draft do not obey: their cones hang from the whole face. A mesh that traps no sand
 * has such faces only within rounding.
 *
 * Round no corner can the way go in a ring, because it always rises; so every corner where it ends is on such an edge.
 */
import type { FramedMesh } from './draw-frame.js';

/** Faces within so much of the sine of the draft have it. */
const SINE_SLACK = 1e-5;
/** A face goes on over an edge where it rises away from it by more than this sine; in doubt the edge counts. */
const RISING = 1e-6;

/** Where cones must hang. */
export interface Crest {
  /** Pairs of corner numbers. */
  readonly edges: Uint32Array;
  /** Numbers of faces that hang over. */
  readonly faces: Uint32Array;
}

/**
 * The crest of one side, cope (`way` 1) or drag (−1).
 *
 * @param concerned Whether a face, by its number, can reach past the joint on this side at all.
 */
export function crestEdges(mesh: FramedMesh, tangent: number, way: 1 | -1, concerned: (t: number) => boolean): Crest {
  const { points: p, triangles } = mesh;
  const steep = steepFaces(mesh, tangent, way, concerned);
  const corners = p.length / 3;
  // The steep face on each side of an edge goes on up over it (1), comes up to it (0), or there is none (absent).
  const leaves = new Map<number, boolean>();
  const faces: number[] = [];
  for (let t = 0; t < steep.length; t++) {
    if (steep[t] === 0) continue;
    if (steep[t] === HANGS) faces.push(t);
    for (let n = 0; n < 3; n++) {
      const [a, b] = [triangles[3 * t + n], triangles[3 * t + ((n + 1) % 3)]];
      leaves.set(a * corners + b, steep[t] === HANGS || risesFrom(mesh, t, n, way));
    }
  }
  const out: number[] = [];
  for (const [key, rises] of leaves) {
    const [a, b] = [Math.floor(key / corners), key % corners];
    const across = leaves.get(b * corners + a);
    // Neither face rises away from it: the way ends here. An edge between two steep faces is met twice and taken once.
    if (rises || across === true || (across !== undefined && a > b)) continue;
    out.push(a, b);
  }
  return { edges: Uint32Array.from(out), faces: Uint32Array.from(faces) };
}

/** What a face is: it has the draft (0), is too steep, or hangs over. */
const [STEEP, HANGS] = [1, 2];

function steepFaces(
  { points: p, triangles }: FramedMesh,
  tangent: number,
  way: 1 | -1,
  concerned: (t: number) => boolean,
): Uint8Array {
  const limit = Math.sin(Math.atan(tangent)) - SINE_SLACK;
  const steep = new Uint8Array(triangles.length / 3);
  for (let t = 0; t < steep.length; t++) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
    const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const z = ux * vy - uy * vx;
    const size = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, z);
    // A face without area counts as a wall.
    const sine = size > 0 ? (way * z) / size : 0;
    if (sine < limit && concerned(t)) steep[t] = sine > -limit ? STEEP : HANGS;
  }
  return steep;
}

/** Does a face rise from its n-th edge: is its steepest way up, within the face, away from that edge? */
function risesFrom({ points: p, triangles }: FramedMesh, t: number, n: number, way: 1 | -1): boolean {
  const [a, b, c] = [0, 1, 2].map((k) => 3 * triangles[3 * t + ((n + k) % 3)]);
  const [ex, ey, ez] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [wx, wy, wz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const along = ex * ex + ey * ey + ez * ez;
  if (along === 0) return false;
  // Square to the edge, within the face, inward: as steep as that goes up is how the face rises from the edge.
  const share = (wx * ex + wy * ey + wz * ez) / along;
  const [ix, iy, iz] = [wx - share * ex, wy - share * ey, wz - share * ez];
  const size = Math.hypot(ix, iy, iz);
  return size > 0 && way * iz > RISING * size;
}
