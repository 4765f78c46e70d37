// @ts-check
// Ruling draws out by faces and hull alone, beside telling the same draws by casting columns.
import { castColumns, makeScratch, readyRuling, ruleOutDraw, sampleDirections, sumColumns } from '@oddside/parting';
import { loadShapes } from '../harness.mjs';

const DRAWS = sampleDirections(1000);
const COLUMNS = 64;

/** A plate with round holes and pockets: few draws leave it, and all others are told by its edges. */
const plate = async () => {
  const shapes = await loadShapes();
  const holes = Array.from({ length: 12 }, (_, i) =>
    shapes.circle(6, 48, [20 * (i % 4) - 30, 20 * Math.floor(i / 4) - 20]),
  );
  return shapes.asPattern(shapes.extrude(shapes.squareOutline(100), 15, holes));
};

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: '1000 draws of a drilled plate, 1,248 triangles: told from faces and hull',
    peer: `casting ${COLUMNS}² columns`,
    prepare: async () => {
      const pattern = await plate();
      return { pattern, ruling: await readyRuling(pattern), scratch: makeScratch(pattern) };
    },
    ours: ({ ruling }) => DRAWS.map((draw) => ruleOutDraw(ruling, draw).ruledOut),
    theirs: ({ pattern, scratch }) =>
      DRAWS.map((draw) => sumColumns(castColumns(pattern, draw, COLUMNS, scratch)).backDraftMm3 > 0),
    // One-sided: all that is ruled out holds sand; here nearly all draws do.
    same: (ours, theirs) => {
      const wrong = ours.filter((/** @type {boolean} */ out, /** @type {number} */ i) => out && !theirs[i]).length;
      const ruledOut = ours.filter(Boolean).length;
      return (wrong === 0 && ruledOut > 800) || `${ruledOut} ruled out, ${wrong} of them wrongly`;
    },
    tell: (ours) => `${ours.filter(Boolean).length} of ${DRAWS.length} ruled out`,
    atLeast: 10,
  },
];
