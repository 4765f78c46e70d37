/** What is worth saying about a shaped joint. */
import { formatLength, plainNumber, type Finding } from '@oddside/core';
import type { PartingSurface } from './parting-surface.js';

/** Findings of a joint, and of the room there is for it (mm; `undefined` for as much as it needs). */
export function findingsOfSurface(
  surface: Omit<PartingSurface, 'reliable' | 'findings'>,
  margin: number | undefined,
): Finding[] {
  const findings: Finding[] = [];
  const { conflict } = surface;
  if (conflict) {
    const least =
      surface.leastSlopeDeg !== null && surface.leastSlopeDeg < 85
        ? `Allow a slope of ${plainNumber(surface.leastSlopeDeg)}°, or use a loose piece or a core between the two places.`
        : 'No slope will do: an upright shut-off, a loose piece or a core is needed between the two places.';
    findings.push({
      code: 'joint-too-steep',
      severity: 'problem',
      message: `No joint within ${plainNumber(surface.slopeLimitDeg)}° meets the pattern everywhere: it would have to climb ${formatLength(conflict.climb)} within ${formatLength(conflict.distance)} of sand.`,
      where: conflict.high,
      remedy: least,
    });
  }
  if (margin !== undefined && surface.leastMargin > margin) {
    findings.push({
      code: 'flask-too-near',
      severity: 'problem',
      message: `The joint is level again ${formatLength(surface.leastMargin)} from the pattern, but only ${formatLength(margin)} are there up to the flask.`,
      where: surface.steepestAt,
      remedy: 'Take a larger flask, allow a steeper joint, or strike the joint at another height.',
    });
  }
  return findings;
}
