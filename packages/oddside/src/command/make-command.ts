/** `oddside make`: the things to print or mill. */
import { lengthUnit, OddsideError } from '@oddside/core';
import { encodePattern } from '@oddside/pattern';
import { makeParts } from '../make-parts.js';
import { planCasting } from '../plan-casting.js';
import { numberFlag, oneFile, type Flag, type Flags } from './read-flags.js';
import { showProgress } from './show-progress.js';
import type { Terminal } from './terminal.js';
import { limitsOf, WISH_FLAGS, wishesOf } from './wish-flags.js';
import type { Workshop } from './workshop.js';

/** Flags of `oddside make`. */
export const MAKE_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'alloy', short: 'a', value: 'ALLOY', help: 'metal the pattern is scaled for (default bz95_5)' },
  { name: 'unit', short: 'u', value: 'UNIT', help: 'unit of the file: mm, cm, m, inch, foot, micron' },
  {
    name: 'out',
    short: 'o',
    value: 'FOLDER',
    help: 'where to write the parts (default: beside you, named after the file)',
  },
  { name: 'way', value: 'N', help: 'follow the Nth way of the advice instead of the first' },
  ...WISH_FLAGS,
  { name: 'joint', value: 'KIND', help: 'flat (default) or shaped to the parting line' },
  { name: 'bed', value: 'L,W,H', help: "cut the parts to a printer's bed of so many mm" },
  { name: 'cores', help: 'make cores with prints and boxes for sand that no joint can free' },
  { name: 'loose-pieces', help: 'make the metal that holds trapped sand as loose pieces' },
  { name: 'print-wall', value: 'MM', help: 'say where a wall is thinner than this (default 1.2; 0: do not look)' },
  { name: 'no-board', help: 'leave the follow board out' },
  { name: 'no-halves', help: 'leave the halves of the pattern out' },
]);

/** Runs it. */
export async function makeCommand(
  flags: Flags,
  terminal: Terminal,
  signal: AbortSignal,
  workshop: Workshop,
): Promise<void> {
  const file = oneFile(flags, 'oddside make name-plate.stl --unit mm');
  const joint = flags.texts.get('joint') ?? 'flat';
  if (joint !== 'flat' && joint !== 'shaped') {
    throw new OddsideError('bad-option', `--joint takes flat or shaped; "${joint}" came.`);
  }
  const bed = bedFlag(flags);
  const unit = flags.texts.get('unit') ?? workshop.unit;
  const progress = showProgress(terminal, flags);
  const job = await planCasting(file, {
    alloy: flags.texts.get('alloy') ?? workshop.alloy ?? 'bz95_5',
    unit: unit === undefined ? undefined : lengthUnit(unit),
    way: numberFlag(flags, 'way'),
    wishes: wishesOf(flags),
    limits: limitsOf(flags),
    picturePx: 0,
    signal,
    onProgress: progress.report,
  }).finally(progress.clear);
  const { parts, findings } = await makeParts(job, {
    joint,
    bed,
    board: !flags.switches.has('no-board'),
    halves: !flags.switches.has('no-halves'),
    cores: flags.switches.has('cores'),
    loosePieces: flags.switches.has('loose-pieces'),
    printWall: numberFlag(flags, 'print-wall'),
    signal,
  });
  const { mkdir, writeFile } = await import('node:fs/promises');
  const { join } = await import('node:path');
  const folder = flags.texts.get('out') ?? `${job.pattern.name}-parts`;
  try {
    await mkdir(folder, { recursive: true });
    for (const { name, pattern } of parts) {
      for (const format of ['stl', '3mf'] as const) {
        const path = join(folder, `${name}.${format}`);
        await writeFile(path, encodePattern(pattern, format));
        terminal.out(`${path}\n`);
      }
    }
  } catch (cause) {
    const why = (cause as Error).message;
    throw new OddsideError(
      'unwritable-target',
      `The parts could not be written into ${folder} (${why}).`,
      {},
      { cause },
    );
  }
  for (const finding of findings) terminal.out(`${finding.severity}: ${finding.message} ${finding.remedy ?? ''}\n`);
}

function bedFlag(flags: Flags): { length: number; width: number; height: number } | undefined {
  const text = flags.texts.get('bed');
  if (text === undefined) return undefined;
  const [length, width, height] = text.split(',').map(Number);
  if ([length, width, height].every((side) => side > 0)) return { length, width, height };
  throw new OddsideError(
    'bad-number',
    `--bed needs three lengths in mm with commas, such as 220,220,250; "${text}" came.`,
  );
}
