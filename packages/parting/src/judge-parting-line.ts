/** What is worth saying about a traced parting line. */
import { formatLength, plainNumber, type Finding } from '@oddside/core';
import { sumColumns } from './measure-columns.js';
import type { ColumnField } from './column-field.js';
import type { PartingLine } from './parting-line.js';

/** Taller than this times its width, a pillar of green sand is likely to break (common practice, no source). */
const SLENDER = 1.5;

/** Findings of a line. */
export function findingsOfLine(line: Omit<PartingLine, 'reliable' | 'findings'>, field: ColumnField): Finding[] {
  const findings: Finding[] = [];
  if (line.loops.length === 0) {
    findings.push({
      code: 'no-shadow',
      severity: 'problem',
      message: `No outline was found along this draw with columns of ${formatLength(field.column)}.`,
      remedy: 'Use narrower columns, or check that the pattern has a surface.',
    });
  }
  const { unbalancedColumns } = sumColumns(field);
  if (unbalancedColumns > 0) {
    findings.push({
      code: 'unbalanced-columns',
      severity: 'warning',
      message: `The surface is open or inconsistent in ${unbalancedColumns} columns; the line can run through such a hole.`,
      remedy: 'Close the holes of the pattern, then trace again.',
    });
  }
  if (line.shutOff) {
    findings.push({
      code: 'upright-shut-off',
      severity: 'warning',
      message: `Cope and drag meet along an upright wall up to ${formatLength(line.shutOff.height)} high inside the outline; no unbroken joint exists there and the sands shear past each other.`,
      where: line.shutOff.where,
      remedy: 'Taper that wall, or choose a draw without it.',
    });
  }
  for (const loop of line.loops) {
    if (!loop.pillar || loop.pillar.slenderness < SLENDER) continue;
    findings.push({
      code: 'slender-pillar',
      severity: 'note',
      message: `The sand in a hole ${formatLength(loop.pillar.width)} wide stands ${formatLength(loop.pillar.height)} high, ${plainNumber(loop.pillar.slenderness, 2)} times its width; it may break off (common practice, no source).`,
      where: [loop.points[0], loop.points[1], loop.points[2]],
      remedy: 'Make this hole with a core, taper it, or drill it afterwards.',
    });
  }
  return findings;
}
