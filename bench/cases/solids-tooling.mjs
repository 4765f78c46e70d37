// @ts-check
import { assessDraw } from '@oddside/parting';
import { openSolids } from '@oddside/solids';
import { loadShapes } from '../harness.mjs';

/** Fills, splits and beds one pattern: one thing after the other, in this thread. @param {any} subject */
async function oneByOne({ solids, pattern, draw, joint }) {
  const filled = await solids.fillBackDraft(pattern, draw);
  const split = await solids.splitPattern(filled.pattern, draw, { joint });
  const board = await solids.followBoard(filled.pattern, draw, { joint });
  return { filled, split, board };
}

/** The same at once, of the pattern as it came: a split and a board fill it by themselves. @param {any} subject */
async function atOnce({ solids, pattern, draw, joint }) {
  const [filled, split, board] = await Promise.all([
    solids.fillBackDraft(pattern, draw),
    solids.splitPattern(pattern, draw, { joint }),
    solids.followBoard(pattern, draw, { joint }),
  ]);
  return { filled, split, board };
}

/**
 * @param {string} name What the subject is.
 * @param {(shapes: Awaited<ReturnType<typeof loadShapes>>) => any} mesh
 * @param {[number, number, number]} draw
 * @param {{ threads: number, atMostMs: number, atMostMb: number }} limits Peak memory is of the whole process: what is
 *   stated is held.
 */
const tooling = (name, mesh, draw, { threads, atMostMs, atMostMb }) => ({
  name: `fill + split + follow board, ${threads > 0 ? `${threads} threads, ` : ''}${name}, in ${atMostMb} MB`,
  prepare: async () => {
    const shapes = await loadShapes();
    const pattern = shapes.asPattern(mesh(shapes));
    const { flat } = assessDraw(pattern, draw);
    return { solids: await openSolids({ threads }), pattern, draw, joint: { kind: 'level', height: flat.height } };
  },
  ours: threads > 0 ? atOnce : oneByOne,
  finish: (/** @type {any} */ { solids }) => solids.dispose(),
  same: (/** @type {any} */ { filled, split, board }) => {
    const { patternMm3, addedMm3, copeMm3, dragMm3, holesMm3, errorMm3 } = split.volumes;
    const lost = patternMm3 + addedMm3 - copeMm3 - dragMm3 - holesMm3;
    const { blockMm3, nestMm3, hollowMm3, boardMm3 } = board.volumes;
    const boardLost = blockMm3 - nestMm3 - hollowMm3 - boardMm3;
    if (filled.addedMm3 < 0) return 'filling took metal away';
    const left = assessDraw(filled.pattern, draw).backDraftMm3;
    if (left > filled.errorMm3) return `${left} mm³ of back draft are left`;
    const peakMb = process.resourceUsage().maxRSS / 1024;
    if (peakMb > atMostMb) return `${peakMb.toFixed(0)} MB were used`;
    return (Math.abs(lost) <= errorMm3 && Math.abs(boardLost) <= errorMm3) || `${lost} and ${boardLost} mm³ are lost`;
  },
  atMostMs,
  // The largest take half a minute each.
  rounds: atMostMs > 10_000 ? 2 : undefined,
});

/** The scanned hare, 100 mm high, as a finer scanner would have it. @param {number} n @param {number} noise */
const hare = (n, noise) => (/** @type {any} */ shapes) => {
  const { positions, triangles } = shapes.bunnyMesh();
  const larger = { positions: positions.map((/** @type {number} */ x) => 10 * x), triangles };
  return shapes.rescan(larger, n, noise, 7);
};

/** @param {number} nu @param {number} nv */
const ring = (nu, nv) => (/** @type {any} */ shapes) => shapes.torus(60, 20, nu, nv);

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  // As many threads as the machine has cores that the limits are for.
  tooling('ring of 100,800 triangles', ring(360, 140), [0.1, 0.05, 1], { threads: 0, atMostMs: 5000, atMostMb: 1500 }),
  tooling('scan of 132,264 triangles with 0.03 mm of noise each way', hare(6, 0.06), [0.02, 0.31, 0.95], {
    threads: 2,
    atMostMs: 5000,
    atMostMb: 1500,
  }),
  tooling('ring of 871,200 triangles', ring(1100, 396), [0.1, 0.05, 1], {
    threads: 2,
    atMostMs: 40_000,
    atMostMb: 4000,
  }),
  tooling('scan of 940,544 triangles with 0.01 mm of noise each way', hare(16, 0.02), [0.02, 0.31, 0.95], {
    threads: 2,
    atMostMs: 40_000,
    atMostMb: 4000,
  }),
];
