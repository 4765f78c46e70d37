/** `oddside plan`: the whole job for one file. */
import { lengthUnit, OddsideError, type UnitSystem } from '@oddside/core';
import { planCasting } from '../plan-casting.js';
import { summariseJob } from '../summarise-job.js';
import { toJson } from '../to-json.js';
import { writeJob } from '../write-job.js';
import { writeTemplates } from '../write-templates.js';
import { numberFlag, oneFile, type Flag, type Flags } from './read-flags.js';
import { showProgress } from './show-progress.js';
import type { Terminal } from './terminal.js';
import { limitsOf, tripleFlag, WISH_FLAGS, wishesOf } from './wish-flags.js';
import type { Workshop } from './workshop.js';

/** Flags of `oddside plan`. */
export const PLAN_FLAGS: readonly Flag[] = Object.freeze([
  {
    name: 'alloy',
    short: 'a',
    value: 'ALLOY',
    help: 'id, name or standard number; see "oddside alloys" (default bz95_5)',
  },
  { name: 'unit', short: 'u', value: 'UNIT', help: 'unit of the file: mm, cm, m, inch, foot, micron' },
  {
    name: 'out',
    short: 'o',
    value: 'FOLDER',
    help: 'where to write the card, the JSON and the STL (default: beside you, named after the file)',
  },
  {
    name: 'mesh-is',
    value: 'WHAT',
    help: 'casting (default: the pattern is made larger) or pattern (the casting comes out smaller)',
  },
  { name: 'casting-length', value: 'MM', help: 'longest side the casting is to have, mm' },
  { name: 'cope', value: 'X,Y,Z', help: 'the way the cope is drawn, when you have decided how it lies' },
  ...WISH_FLAGS,
  { name: 'way', value: 'N', help: 'follow the Nth way of the advice instead of the first' },
  { name: 'yield', value: 'SHARE', help: 'casting mass over metal melted, such as 0.6' },
  { name: 'pot', value: 'NUMBER', help: 'number of the pot at hand' },
  { name: 'as-it-is', help: 'do not mend a scan that is not sound' },
  { name: 'threads', value: 'N', help: 'threads to search with besides this one (default 0)' },
  { name: 'columns', value: 'N', help: 'columns across the shadow (default 256); more is finer and slower' },
  { name: 'show', value: 'UNITS', help: 'metric (default), imperial or both' },
  { name: 'name', value: 'TEXT', help: 'what to call the job' },
  { name: 'templates', value: 'KIND', help: 'also write the 1:1 templates: svg (sheets and A4 pages) or dxf' },
  { name: 'json', help: 'print the job as JSON instead of words, and write no files unless --out is given' },
  { name: 'quiet', short: 'q', help: 'print nothing but errors' },
]);

/** Runs it. */
export async function planCommand(
  flags: Flags,
  terminal: Terminal,
  signal: AbortSignal,
  workshop: Workshop,
): Promise<void> {
  const file = oneFile(flags, 'oddside plan cleat.stl --unit mm');
  const unit = flags.texts.get('unit') ?? workshop.unit;
  const kind = templatesFlag(flags);
  const progress = showProgress(terminal, flags);
  const job = await planCasting(file, {
    alloy: flags.texts.get('alloy') ?? workshop.alloy ?? 'bz95_5',
    unit: unit === undefined ? undefined : lengthUnit(unit),
    name: flags.texts.get('name'),
    meshIs: flags.texts.get('mesh-is') as 'casting' | 'pattern' | undefined,
    castingLength: numberFlag(flags, 'casting-length'),
    direction: tripleFlag(flags, 'cope', 'bad-direction'),
    wishes: wishesOf(flags),
    limits: limitsOf(flags),
    way: numberFlag(flags, 'way'),
    yieldFraction: numberFlag(flags, 'yield') ?? workshop.yield,
    crucibleNumber: numberFlag(flags, 'pot') ?? workshop.pot,
    columns: numberFlag(flags, 'columns'),
    show: showFlag(flags) ?? workshop.show,
    flasks: workshop.flasks?.map(([length, width, copeDepth, dragDepth]) => ({
      name: `${length} × ${width} mm`,
      length,
      width,
      copeDepth,
      dragDepth,
    })),
    mend: !flags.switches.has('as-it-is'),
    threads: numberFlag(flags, 'threads'),
    signal,
    onProgress: progress.report,
  }).finally(progress.clear);
  const json = flags.switches.has('json');
  const out = flags.texts.get('out') ?? (json ? undefined : `${plainName(job.pattern.name)}-mould`);
  const written = out === undefined ? undefined : await writeJob(job, out);
  const drawn = kind === undefined || out === undefined ? [] : await writeTemplates(job, out, kind);
  if (json) terminal.out(`${JSON.stringify(toJson(job))}\n`);
  if (json || flags.switches.has('quiet')) return;
  terminal.out(summariseJob(job));
  if (written) {
    terminal.out(
      `\nWritten:\n  mould card  ${written.card}\n  job         ${written.json}\n  pattern     ${written.pattern}\n`,
    );
    for (const file of drawn) terminal.out(`  template    ${file}\n`);
  }
}

function templatesFlag(flags: Flags): 'svg' | 'dxf' | undefined {
  const text = flags.texts.get('templates');
  if (text === undefined || text === 'svg' || text === 'dxf') return text;
  throw new OddsideError('bad-option', `--templates takes svg or dxf; "${text}" came.`);
}

function showFlag(flags: Flags): UnitSystem | undefined {
  const text = flags.texts.get('show');
  if (text === undefined || text === 'metric' || text === 'imperial' || text === 'both') return text;
  throw new OddsideError('bad-option', `--show takes metric, imperial or both; "${text}" came.`);
}

/** A name that any file system takes. */
function plainName(name: string): string {
  return (
    name
      .normalize('NFC')
      .replace(/[\\/:*?"<>|\p{Cc}]+/gu, '-')
      .trim() || 'pattern'
  );
}
