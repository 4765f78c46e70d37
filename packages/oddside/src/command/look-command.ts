/** `oddside look`: what a file holds, before anything is planned. */
import { convertSentence, formatArea, formatLength, lengthUnit, OddsideError, type UnitSystem } from '@oddside/core';
import { inspectPattern, measurePattern, readPattern } from '@oddside/pattern';
import { volumeWords } from '@oddside/card';
import type { Flag, Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';
import type { Workshop } from './workshop.js';

/** Flags of `oddside look`. */
export const LOOK_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'unit', short: 'u', value: 'UNIT', help: 'unit of the file: mm, cm, m, inch, foot, micron' },
  { name: 'show', value: 'UNITS', help: 'metric (default), imperial or both' },
  { name: 'json', help: 'print what was found as JSON' },
]);

/** Runs it, for one file or many. */
export async function lookCommand(
  flags: Flags,
  terminal: Terminal,
  signal: AbortSignal,
  workshop: Workshop,
): Promise<void> {
  if (flags.files.length === 0) {
    throw new OddsideError(
      'bad-option',
      'oddside look takes one or more files, such as: oddside look cleat.stl; none came.',
    );
  }
  const unit = flags.texts.get('unit') ?? workshop.unit;
  const show = (flags.texts.get('show') ?? workshop.show ?? 'metric') as UnitSystem;
  const json: unknown[] = [];
  for (const file of flags.files) {
    const pattern = await readPattern(file, { unit: unit === undefined ? undefined : lengthUnit(unit), signal });
    const inspection = inspectPattern(pattern);
    const measures = measurePattern(pattern);
    if (flags.switches.has('json')) {
      json.push({ file, unit: pattern.unit, inspection, measures, findings: pattern.findings });
      continue;
    }
    const { min, max } = measures.bounds;
    const sides = [0, 1, 2].map((k) => formatLength(max[k] - min[k], show)).join(' × ');
    const sound = inspection.closed && inspection.consistent ? 'closed and consistent' : 'not sound';
    terminal.out(
      `${pattern.name}: ${inspection.triangles} triangles in ${inspection.shells} piece${inspection.shells === 1 ? '' : 's'}, ${sound}\n` +
        `  ${sides} (read in ${pattern.unit.name})\n` +
        `  volume ${volumeWords(measures.volumeMm3, measures.volumeErrorMm3, measures.reliable, show)}; surface ${formatArea(measures.areaMm2, show)}\n`,
    );
    const seen = new Set<string>();
    for (const finding of [...pattern.findings, ...inspection.findings, ...measures.findings]) {
      if (seen.has(finding.message)) continue;
      seen.add(finding.message);
      const said = convertSentence(`${finding.message} ${finding.remedy ?? ''}`, show);
      terminal.out(`  ${finding.severity}: ${said}\n`);
    }
  }
  if (flags.switches.has('json')) terminal.out(`${JSON.stringify(json)}\n`);
}
