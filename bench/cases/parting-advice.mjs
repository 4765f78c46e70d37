// @ts-check
// The whole search over draws.
import { advisePartings } from '@oddside/parting';
import { loadShapes } from '../harness.mjs';

/** @param {any} advice */
const searched = (advice) =>
  (advice.search.drawsLookedAt >= 500 && advice.candidates.length >= 3) ||
  `${advice.search.drawsLookedAt} draws looked at, ${advice.candidates.length} candidates`;

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: 'advice for the bust of 109,259 triangles, 1000 samples',
    prepare: async () => {
      const shapes = await loadShapes();
      return shapes.asPattern(shapes.snowdenMesh('hi'));
    },
    ours: (pattern) => advisePartings(pattern),
    same: searched,
    atMostMs: 2000,
    rounds: 3,
  },
  {
    name: 'advice for the hare of 3,674 triangles, 1000 samples',
    prepare: async () => {
      const shapes = await loadShapes();
      return shapes.asPattern(shapes.bunnyMesh());
    },
    ours: (pattern) => advisePartings(pattern),
    same: searched,
    rounds: 3,
  },
];
