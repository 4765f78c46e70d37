// @ts-check
// One draw by the signed column pass, against every crossing of the same columns by rays through three-mesh-bvh.
import { castColumns, makeScratch, sumColumns } from '@oddside/parting';
import { loadShapes, peerName } from '../harness.mjs';

/** @typedef {{ pattern: any, scratch: any, tree: any, hits: any }} Subject */

const DRAW = /** @type {const} */ ([0.3, 0.5, 0.8]);

/** @param {(shapes: any) => any} make @param {boolean} withTree @returns {() => Promise<Subject>} */
const prepare =
  (make, withTree = true) =>
  async () => {
    const shapes = await loadShapes();
    const mesh = make(shapes);
    const pattern = shapes.asPattern(mesh);
    const scratch = makeScratch(pattern);
    if (!withTree) return { pattern, scratch, tree: undefined, hits: undefined };
    // The rays are those of the tests, which the harness writes out beside the shapes.
    const written = new URL('../../node_modules/.cache/oddside-shapes/hit-columns.js', import.meta.url);
    const { hitColumns, treeOf } = await import(written.href);
    return { pattern, scratch, tree: treeOf(mesh, scratch.origin), hits: hitColumns };
  };

const ours = (/** @type {Subject} */ { pattern, scratch }) => sumColumns(castColumns(pattern, DRAW, 256, scratch));
// The field is cast once more for its grid only; at a fiftieth of the rays' time that does not change the ratio.
const theirs = (/** @type {Subject} */ { pattern, scratch, tree, hits }) =>
  hits(tree, castColumns(pattern, DRAW, 256, scratch));
const same = (/** @type {any} */ a, /** @type {any} */ b) => {
  const off = Math.abs(a.backDraftMm3 - b.backDraftMm3) / a.solidMm3;
  return off < 0.002 || `back draft differs by ${off} of the solid`;
};
const whole = (/** @type {any} */ a) =>
  (a.unbalancedColumns === 0 && a.solidMm3 > 0) || `${a.unbalancedColumns} columns unbalanced`;

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: 'one draw, bust of 109,259 triangles, 256² columns',
    peer: `all-hit rays through ${peerName('three-mesh-bvh')}, tree built beforehand`,
    prepare: prepare((shapes) => shapes.snowdenMesh('hi')),
    ours,
    theirs,
    same,
    atLeast: 15,
  },
  {
    name: 'one draw, hare of 3,674 triangles, 256² columns',
    peer: `all-hit rays through ${peerName('three-mesh-bvh')}, tree built beforehand`,
    prepare: prepare((shapes) => shapes.bunnyMesh()),
    ours,
    theirs,
    same,
    atLeast: 60,
  },
  {
    name: 'one draw, ring of 200,000 triangles, 256² columns',
    peer: `all-hit rays through ${peerName('three-mesh-bvh')}, tree built beforehand`,
    prepare: prepare((shapes) => shapes.torus(60, 25, 500, 200)),
    ours,
    theirs,
    same,
    atLeast: 15,
  },
  {
    name: 'one draw, ring of 871,000 triangles, 256² columns',
    prepare: prepare((shapes) => shapes.torus(60, 25, 1000, 436), false),
    ours,
    same: whole,
    atMostMs: 20,
  },
];
