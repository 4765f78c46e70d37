/**
 * Metal added to a pattern, and the pattern with it, from one cut: a block of sand round the pattern is parted by what is
 * to be filled. What both share is the added metal; what is left of the sand is the mould of the filled pattern.
 */
import { bodyOfArrays, growBox, meshOfBody, type PlainMesh } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import { dropFilms } from './drop-films.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** A pattern filled, and what was added. */
export interface Filling {
  readonly filled: PlainMesh;
  /** May be empty. */
  readonly added: Body;
}

/** The block reaches beyond the pattern by this share of its size. */
const BEYOND = 0.02;

/**
 * Unites a pattern with a filling that lies within its box. Cost: one operation of the kernel on the whole pattern, where
 * uniting and cutting would be two.
 *
 * @throws OddsideError `bad-pattern` where the surface is open or inconsistent.
 */
export function fillFromSand(scope: Scope, mesh: FramedMesh, filling: Body): Filling {
  const sand = sandRound(scope, mesh);
  const { both, rest } = scope.part(sand, filling);
  scope.free(sand);
  const filled = dropFilms(mouldedBy(meshOfBody(rest), mesh), mesh.rounding);
  scope.free(rest);
  return { filled, added: both };
}

function beyondOf({ box: { min, max } }: FramedMesh): number {
  return BEYOND * Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
}

/** A block with the pattern as a space in it. */
function sandRound(scope: Scope, mesh: FramedMesh): Body {
  const { min, max } = growBox(mesh.box, beyondOf(mesh));
  const first = mesh.points.length / 3;
  const points = new Float32Array(mesh.points.length + 24);
  points.set(mesh.points);
  for (let k = 0; k < 8; k++) {
    points.set([k & 1 ? max[0] : min[0], k & 2 ? max[1] : min[1], k & 4 ? max[2] : min[2]], mesh.points.length + 3 * k);
  }
  const triangles = new Uint32Array(mesh.triangles.length + BLOCK.length);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    triangles[t] = mesh.triangles[t];
    triangles[t + 1] = mesh.triangles[t + 2];
    triangles[t + 2] = mesh.triangles[t + 1];
  }
  BLOCK.forEach((corner, k) => (triangles[mesh.triangles.length + k] = first + corner));
  return bodyOfArrays(scope, points, triangles, 'The pattern');
}

/** A block's faces, outward; bit 0 of a corner's number is its side in x, bit 1 in y, bit 2 in z. */
const BLOCK: readonly number[] = [
  [0, 2, 1, 1, 2, 3],
  [4, 5, 6, 5, 7, 6],
  [0, 1, 4, 1, 5, 4],
  [2, 6, 3, 3, 6, 7],
  [0, 4, 2, 2, 4, 6],
  [1, 3, 5, 3, 7, 5],
].flat();

/** What a mould with a block's outside moulds: its inside, turned over. */
function mouldedBy({ points, triangles }: PlainMesh, mesh: FramedMesh): PlainMesh {
  const { min, max } = growBox(mesh.box, beyondOf(mesh) / 2);
  const numbers = new Int32Array(points.length / 3).fill(-1);
  const corners: number[] = [];
  for (let k = 0; k < numbers.length; k++) {
    const [x, y, z] = [points[3 * k], points[3 * k + 1], points[3 * k + 2]];
    const inside = x > min[0] && y > min[1] && z > min[2] && x < max[0] && y < max[1] && z < max[2];
    if (inside) numbers[k] = corners.push(k) - 1;
  }
  const kept = new Float32Array(3 * corners.length);
  corners.forEach((k, n) => {
    for (let axis = 0; axis < 3; axis++) kept[3 * n + axis] = points[3 * k + axis];
  });
  const turned = new Uint32Array(triangles.length);
  let count = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [numbers[triangles[t]], numbers[triangles[t + 1]], numbers[triangles[t + 2]]];
    if (a < 0 || b < 0 || c < 0) continue;
    turned[count++] = a;
    turned[count++] = c;
    turned[count++] = b;
  }
  return { points: kept, triangles: turned.slice(0, count) };
}
