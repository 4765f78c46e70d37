/** The parting line and the joint surface of the laid pattern. */
import {
  shapePartingSurface,
  tracePartingLine,
  type DrawAssessment,
  type PartingLine,
  type PartingSurface,
} from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/**
 * Traces the line and shapes the surface.
 *
 * @param laid The pattern as it lies: draw along +z, joint at height 0.
 * @param assessment The draw as assessed in the file's coordinates, at the same size.
 */
export function shapeJoint(laid: Pattern, assessment: DrawAssessment): { line: PartingLine; surface: PartingSurface } {
  const { flat } = assessment;
  const asLaid: DrawAssessment = {
    ...assessment,
    direction: [0, 0, 1],
    flat: { ...flat, low: flat.low - flat.height, high: flat.high - flat.height, height: 0 },
  };
  return {
    line: tracePartingLine(laid, asLaid),
    // The rim of a scan is ragged to about a column; held to the letter it asks for cliffs that no founder would cut.
    surface: shapePartingSurface(laid, asLaid, { band: assessment.column }),
  };
}
