// @ts-check
// The whole search over draws.
import { advisePartings } from '@oddside/parting';
import { loadShapes } from '../harness.mjs';
import { adviseWithJoints, openHelp } from '../subjects/advise-with-joints.mjs';

/** @param {any} advice */
const searched = (advice) =>
  (advice.search.drawsLookedAt >= 500 && advice.candidates.length >= 3) ||
  `${advice.search.drawsLookedAt} draws looked at, ${advice.candidates.length} candidates`;

/** @param {any} result */
const withJoints = ({ advice, lines, ladders, coveringRadiusDeg }) =>
  (coveringRadiusDeg <= 2 &&
    advice.candidates.length === 5 &&
    lines.every((/** @type {any} */ line) => line.loops.length > 0) &&
    ladders.every((/** @type {any} */ { rungs }) => rungs[3].trappedMm3 <= rungs[0].trappedMm3)) ||
  `${advice.candidates.length} candidates, ${lines.length} lines, ${ladders.length} ladders`;

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: 'advice at 2°, line and ladder for the best five, bust of 109,259 triangles',
    prepare: async () => {
      const shapes = await loadShapes();
      return { pattern: shapes.asPattern(shapes.snowdenMesh('hi')), threads: await openHelp() };
    },
    finish: ({ threads }) => threads.close(),
    ours: ({ pattern, threads }) => adviseWithJoints(pattern, threads),
    same: withJoints,
    atMostMs: 1000,
  },
  {
    name: 'advice at 2°, line and ladder for the best five, hare of 940,544 triangles with noise',
    prepare: async () => {
      const shapes = await loadShapes();
      let mesh = shapes.bunnyMesh();
      for (let i = 0; i < 4; i++) mesh = shapes.subdivide(mesh);
      return { pattern: shapes.asPattern(shapes.roughen(mesh, 0.002, 7)), threads: await openHelp() };
    },
    finish: ({ threads }) => threads.close(),
    ours: ({ pattern, threads }) => adviseWithJoints(pattern, threads),
    same: withJoints,
    atMostMs: 3000,
    rounds: 3,
  },
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
