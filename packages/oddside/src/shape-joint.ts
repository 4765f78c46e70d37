/** The parting line and the joint surface of the laid pattern. */
import type { Pacer } from '@oddside/core';
import {
  shapePartingSurfaceInPieces,
  tracePartingLineInPieces,
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
export async function shapeJoint(
  laid: Pattern,
  assessment: DrawAssessment,
  pacer: Pacer,
  signal: AbortSignal | undefined,
): Promise<{ line: PartingLine; surface: PartingSurface }> {
  const { flat } = assessment;
  const asLaid: DrawAssessment = {
    ...assessment,
    direction: [0, 0, 1],
    flat: { ...flat, low: flat.low - flat.height, high: flat.high - flat.height, height: 0 },
  };
  const line = await tracePartingLineInPieces(laid, asLaid, { signal });
  await pacer.step(0.82);
  // The rim of a scan is ragged to about a column; held to the letter it asks for cliffs that no founder would cut.
  const surface = await shapePartingSurfaceInPieces(laid, asLaid, { band: assessment.column, signal });
  return { line, surface };
}
