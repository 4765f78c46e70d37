/** Which unit a file is in, what follows from it, and whether the size that follows is believable for a sand casting. */
import { MM_PER_UNIT, lengthUnit, plainNumber, type Finding, type LengthUnit } from '@oddside/core';
import type { PatternUnit } from './pattern.js';

/** Longest sides between which a sand casting is believable, mm. Common practice, no source. */
export const BELIEVABLE_SIZE: Readonly<{ least: number; most: number }> = Object.freeze({ least: 5, most: 3000 });

/** The unit to use: the caller's word, else the file's, else mm with a finding to follow. */
export function settleUnit(
  given: string | undefined,
  stated: LengthUnit | undefined,
  findings: Finding[],
): PatternUnit {
  if (given !== undefined) {
    const name = lengthUnit(given);
    if (stated !== undefined && stated !== name) {
      findings.push({
        code: 'unit-overruled',
        severity: 'warning',
        message: `The file says its unit is ${stated}, but ${name} was asked for; ${name} was used.`,
        remedy: `Leave the unit out to use the file's own.`,
      });
    }
    return { name, from: 'caller' };
  }
  if (stated !== undefined) return { name: stated, from: 'file' };
  return { name: 'mm', from: 'assumed' };
}

/** What to say about the size: the assumption where there is one, and a size that no sand casting has. */
export function findingsOfSize(size: readonly [number, number, number], unit: PatternUnit): Finding[] {
  const findings: Finding[] = [];
  const inFile = size.map((side) => side / MM_PER_UNIT[unit.name]) as [number, number, number];
  if (unit.from === 'assumed') {
    const others = (['inch', 'cm', 'm'] as const)
      .map((name) => `${spell(inFile, MM_PER_UNIT[name])} if it is in ${name}`)
      .join(', ');
    findings.push({
      code: 'unit-assumed',
      severity: 'warning',
      message:
        `The file does not say its unit. Millimetres were assumed, which makes the pattern ` +
        `${spell(inFile, 1)}; it is ${others}.`,
      remedy: 'Give the unit when reading the file.',
    });
  }
  const longest = Math.max(...size);
  if (longest >= BELIEVABLE_SIZE.least && longest <= BELIEVABLE_SIZE.most) return findings;
  const fitting = believableUnits(Math.max(...inFile)).filter((name) => name !== unit.name);
  const hint = fitting.length > 0 ? ` In ${fitting.join(' or ')} it would be of a usual size.` : '';
  findings.push({
    code: 'size-implausible',
    severity: 'warning',
    message:
      `The longest side is ${plainNumber(longest)} mm; sand castings are between ${BELIEVABLE_SIZE.least} mm and ` +
      `${plainNumber(BELIEVABLE_SIZE.most / 1000)} m.${hint}`,
    remedy: fitting.length > 0 ? `Read it again with unit "${fitting[0]}", or scale it.` : 'Scale the pattern.',
  });
  return findings;
}

/** Units that put this longest side between 5 mm and 3 m, the most usual unit first. */
function believableUnits(longestInFile: number): LengthUnit[] {
  const order: LengthUnit[] = ['mm', 'inch', 'm', 'cm', 'micron', 'foot'];
  return order.filter((name) => {
    const longest = longestInFile * MM_PER_UNIT[name];
    return longest >= BELIEVABLE_SIZE.least && longest <= BELIEVABLE_SIZE.most;
  });
}

function spell(size: readonly [number, number, number], factor: number): string {
  return `${size.map((side) => plainNumber(side * factor)).join(' × ')} mm`;
}
