// @ts-check
// One draw by the signed column pass, against every crossing of the same columns by rays through Embree, in C++.
import { castColumns, makeScratch, sumColumns } from '@oddside/parting';
import { loadShapes } from '../harness.mjs';
import { embreeVersion, openEmbree } from '../peers/embree-columns.mjs';

const DRAW = /** @type {const} */ ([0.3, 0.5, 0.8]);
const version = embreeVersion();

/** @typedef {{ pattern: any, scratch: any, column: number, embree: { cast: () => Promise<any> } | undefined }} Subject */

/** @param {(shapes: any) => any} make @returns {() => Promise<Subject>} */
const prepare = (make) => async () => {
  const shapes = await loadShapes();
  const pattern = shapes.asPattern(make(shapes));
  const scratch = makeScratch(pattern);
  const field = castColumns(pattern, DRAW, 256, scratch);
  return { pattern, scratch, column: field.column, embree: version ? await openEmbree(pattern, field) : undefined };
};

/** @param {number} a @param {number} b */
const off = (a, b) => Math.abs(a - b) / Math.max(Math.abs(a), Math.abs(b), 1e-300);

/**
 * The columns met and their lengths agree closely; of the crossings the peer's rays count some twice, on edges.
 *
 * @param {any} ours @param {any} theirs @param {Subject} subject
 */
const same = (ours, theirs, { column }) => {
  if (ours.unbalancedColumns > 0) return `${ours.unbalancedColumns} columns unbalanced`;
  if (!theirs) return true;
  const envelope = off(ours.envelopeMm3, theirs.envelope * column * column);
  const met = off(ours.hitColumns, theirs.met);
  const crossings = off(2 * ours.meanIntervals * ours.hitColumns, theirs.crossings);
  return (
    (envelope < 1e-3 && met < 1e-3 && crossings < 0.03) ||
    `envelope off by ${envelope}, columns met by ${met}, crossings by ${crossings}`
  );
};

/** @param {string} name @param {(shapes: any) => any} make @param {number} [atMostMs] @returns {import('../harness.mjs').Case} */
const against = (name, make, atMostMs) => ({
  name: `one draw, ${name}, 256² columns, against native rays`,
  peer: version
    ? `Embree ${version} in C++, all hits by a filter, coherent, one thread, tree built beforehand`
    : 'peer not there: Embree 3 (needs g++ and libembree-dev)',
  prepare: prepare(make),
  ours: ({ pattern, scratch }) => sumColumns(castColumns(pattern, DRAW, 256, scratch)),
  theirs: version ? ({ embree }) => embree.cast() : undefined,
  same,
  atLeast: version ? 1 : undefined,
  atMostMs,
});

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  against('hare of 3,674 triangles', (shapes) => shapes.bunnyMesh()),
  against('ring of 200,000 triangles', (shapes) => shapes.torus(60, 25, 500, 200)),
  against('ring of 872,000 triangles', (shapes) => shapes.torus(60, 25, 1000, 436), 20),
];
