// @ts-check
// How the cost of a draw and of the whole advice grows with the pattern, and how far the pass is from what memory allows.
import { castColumns, makeScratch, sumColumns } from '@oddside/parting';
import { loadShapes } from '../harness.mjs';
import { adviseWithJoints, openHelp } from '../subjects/advise-with-joints.mjs';

const DRAW = /** @type {const} */ ([0.3, 0.5, 0.8]);
const COLUMNS = 256;

/** Slope of the logarithm of the time over that of the triangles, by least squares. @param {{ triangles: number, ms: number }[]} points */
function exponentOf(points) {
  const logs = points.map(({ triangles, ms }) => [Math.log(triangles), Math.log(ms)]);
  const mean = [0, 1].map((k) => logs.reduce((sum, log) => sum + log[k], 0) / logs.length);
  const over = logs.reduce((sum, [x, y]) => sum + (x - mean[0]) * (y - mean[1]), 0);
  return over / logs.reduce((sum, [x]) => sum + (x - mean[0]) ** 2, 0);
}

/** @param {{ triangles: number, ms: number }[]} points */
const growth = (points) =>
  `exponent ${exponentOf(points).toFixed(2)}: ${points.map(({ triangles, ms }) => `${triangles} in ${ms.toPrecision(3)} ms`).join(', ')}`;

/** @param {{ triangles: number, ms: number }[]} points */
const linear = (points) => exponentOf(points) <= 1 || `grows faster than linearly, ${growth(points)}`;

/** Rings of 11,000 to 871,000 triangles. */
const rings = async () => {
  const shapes = await loadShapes();
  const sizes = [
    [111, 50],
    [250, 100],
    [500, 200],
    [1000, 436],
  ];
  return sizes.map(([around, across]) => shapes.asPattern(shapes.torus(60, 25, around, across)));
};

/** The best of some runs, ms: growth is of the work, not of what else the machine does. @param {() => unknown} run @param {number} runs */
async function bestOf(run, runs) {
  let best = Infinity;
  for (let i = 0; i < runs; i++) {
    const started = performance.now();
    await run();
    best = Math.min(best, performance.now() - started);
  }
  return best;
}

/** Reads every byte of some arrays once, as a sum that cannot be left out. @param {Float64Array[]} arrays */
function readAll(arrays) {
  let sum = 0;
  for (const array of arrays) {
    let [a, b, c, d] = [0, 0, 0, 0];
    for (let i = 0; i + 3 < array.length; i += 4) {
      a += array[i];
      b += array[i + 1];
      c += array[i + 2];
      d += array[i + 3];
    }
    sum += a + b + c + d;
  }
  return sum;
}

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: 'growth of one draw from 11,100 to 872,000 triangles, 256² columns (the time is of all sizes together)',
    prepare: async () => (await rings()).map((pattern) => ({ pattern, scratch: makeScratch(pattern) })),
    ours: async (subjects) => {
      const points = [];
      for (const { pattern, scratch } of subjects) {
        const ms = await bestOf(() => sumColumns(castColumns(pattern, DRAW, COLUMNS, scratch)), 15);
        points.push({ triangles: pattern.triangles.length / 3, ms });
      }
      return points;
    },
    same: linear,
    tell: growth,
    rounds: 3,
  },
  {
    name: 'growth of advice at 2° with line and ladder from 14,696 to 940,544 triangles (the time is of all sizes together)',
    prepare: async () => {
      const shapes = await loadShapes();
      const meshes = [shapes.subdivide(shapes.bunnyMesh())];
      while (meshes.length < 4) meshes.push(shapes.subdivide(meshes[meshes.length - 1]));
      const patterns = meshes.map((mesh) => shapes.asPattern(shapes.roughen(mesh, 0.002, 7)));
      return { patterns, threads: await openHelp() };
    },
    finish: ({ threads }) => threads.close(),
    ours: async ({ patterns, threads }) => {
      const points = [];
      for (const pattern of patterns) {
        const ms = await bestOf(() => adviseWithJoints(pattern, threads), 1);
        points.push({ triangles: pattern.triangles.length / 3, ms });
      }
      return points;
    },
    same: linear,
    tell: growth,
    rounds: 3,
  },
  {
    name: 'one draw of 872,000 triangles, 256² columns, beside reading the same bytes once from memory',
    peer: 'sum of as many bytes of Float64Array, read once: what memory allows',
    prepare: async () => {
      const pattern = (await rings())[3];
      const scratch = makeScratch(pattern);
      const field = castColumns(pattern, DRAW, COLUMNS, scratch);
      // What a pass must touch at the least: corners read once, placed corners and words written once and read once,
      // triangles read once, cells cleared and read once.
      const corners = pattern.positions.length / 3;
      const bytes = corners * (24 + 2 * 28) + pattern.triangles.byteLength + 2 * field.cells.byteLength;
      return { pattern, scratch, bytes, plain: [new Float64Array(Math.ceil(bytes / 8)).fill(1)] };
    },
    ours: ({ pattern, scratch }) => sumColumns(castColumns(pattern, DRAW, COLUMNS, scratch)),
    theirs: ({ plain }) => readAll(plain),
    same: (ours, theirs) => ours.unbalancedColumns === 0 && theirs > 0,
    tell: (_, { bytes }, { oursMs, theirsMs }) => {
      const rate = (/** @type {number} */ ms) => (bytes / ms / 1e6).toPrecision(3);
      const share = ((100 * theirsMs) / oursMs).toFixed(0);
      return `${(bytes / 1e6).toFixed(1)} MB at ${rate(oursMs)} GB/s where a plain sum reads ${rate(theirsMs)} GB/s: ${share} % of what memory allows`;
    },
  },
];
