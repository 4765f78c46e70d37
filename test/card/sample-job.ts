/** Whole jobs to make cards from. The objects are invented. */
import { planCasting, type CastingJob, type PlanCastingOptions } from 'oddside';
import { asPattern, boxesUnion, span, type Mesh } from '../helpers/shapes.js';

/** A stepped lamp bracket whose arm overhangs, so that some sand is held whichever way it lies. */
export function bracket(): Mesh {
  return boxesUnion(
    [span([0, 60], [0, 30], [0, 8]), span([0, 10], [0, 30], [8, 30]), span([10, 24], [8, 22], [24, 30])],
    [span([24, 50], [10, 20], [-1, 4])],
  );
}

/** A quick plan of the bracket: few draws, coarse columns, small pictures. */
export function planBracket(options: Partial<PlanCastingOptions> & { name?: string } = {}): Promise<CastingJob> {
  const { name = 'lamp bracket', ...rest } = options;
  const few = { alloy: 'bz95_5', samples: 60, columns: 64, candidates: 3, picturePx: 160 };
  return planCasting(asPattern(bracket(), name), { ...few, ...rest });
}
