// @ts-check
import { openSolids } from '@oddside/solids';
import { loadShapes } from '../harness.mjs';

/** Fills, splits and beds one pattern. @param {any} subject */
async function work({ solids, pattern, draw, joint }) {
  const filled = await solids.fillBackDraft(pattern, draw);
  const split = await solids.splitPattern(filled.pattern, draw, { joint });
  const board = await solids.followBoard(filled.pattern, draw, { joint });
  return { filled, split, board };
}

/** @param {string} name @param {number} nu @param {number} nv @param {number} atMostMs */
const tooling = (name, nu, nv, atMostMs) => ({
  name: `fill + split + follow board, ${name} triangles`,
  prepare: async () => {
    const shapes = await loadShapes();
    const pattern = shapes.asPattern(shapes.torus(60, 20, nu, nv));
    return { solids: await openSolids(), pattern, draw: [0.1, 0.05, 1], joint: { kind: 'level', height: 0 } };
  },
  ours: work,
  same: (/** @type {any} */ { filled, split, board }) => {
    const { patternMm3, addedMm3, copeMm3, dragMm3, holesMm3, errorMm3 } = split.volumes;
    const lost = patternMm3 + addedMm3 - copeMm3 - dragMm3 - holesMm3;
    const { blockMm3, nestMm3, hollowMm3, boardMm3 } = board.volumes;
    const boardLost = blockMm3 - nestMm3 - hollowMm3 - boardMm3;
    if (filled.addedMm3 < 0) return 'filling took metal away';
    return (Math.abs(lost) <= errorMm3 && Math.abs(boardLost) <= errorMm3) || `${lost} and ${boardLost} mm³ are lost`;
  },
  atMostMs,
  rounds: 2,
});

/** @type {import('../harness.mjs').Case[]} */
export const cases = [tooling('100,800', 360, 140, 5000)];
