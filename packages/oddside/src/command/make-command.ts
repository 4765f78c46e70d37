/** `oddside make`: the things to print or mill. */
import { lengthUnit, OddsideError } from '@oddside/core';
import { encodePattern } from '@oddside/pattern';
import type { PatternPlate } from '@oddside/solids';
import { checkPartsWishes, makeParts } from '../make-parts.js';
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
  {
    name: 'draft',
    value: 'DEG',
    help: 'give every side so much draft from the joint first, 0 to 20°; back draft is filled with it',
  },
  {
    name: 'plate',
    value: 'L,W',
    help: 'mount both halves on a plate for a flask of so many mm inside; no board is then made',
  },
  { name: 'plate-rim', value: 'MM', help: "the plate's rim that rests on the flask, each side (default 25)" },
  { name: 'plate-thickness', value: 'MM', help: 'of the plate (default 12)' },
  {
    name: 'guides',
    value: 'MM',
    help: "diameter of the guide hole for the flask's pin; the second becomes a narrower slot",
  },
  { name: 'guides-apart', value: 'MM', help: 'from middle to middle of the guides (default: mid-rim to mid-rim)' },
  { name: 'print-wall', value: 'MM', help: 'say where a wall is thinner than this (default 1.2; 0: do not look)' },
  { name: 'stand-sand', value: 'MM', help: 'say where sand is thinner than this (default 3; 0: do not look)' },
  {
    name: 'threads',
    value: 'N',
    help: 'threads to search with besides this one, and to make the parts in (default 0)',
  },
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
  const wishes = {
    plate: plateFlags(flags),
    draftDeg: numberFlag(flags, 'draft'),
    loosePieces: flags.switches.has('loose-pieces'),
    halves: !flags.switches.has('no-halves'),
  };
  checkPartsWishes(wishes);
  const unit = flags.texts.get('unit') ?? workshop.unit;
  const progress = showProgress(terminal, flags);
  const job = await planCasting(file, {
    alloy: flags.texts.get('alloy') ?? workshop.alloy ?? 'bz95_5',
    unit: unit === undefined ? undefined : lengthUnit(unit),
    way: numberFlag(flags, 'way'),
    wishes: wishesOf(flags),
    limits: limitsOf(flags),
    picturePx: 0,
    threads: numberFlag(flags, 'threads'),
    signal,
    onProgress: progress.report,
  }).finally(progress.clear);
  const { parts, findings } = await makeParts(job, {
    joint,
    bed,
    ...wishes,
    board: flags.switches.has('no-board') ? false : undefined,
    cores: flags.switches.has('cores'),
    printWall: numberFlag(flags, 'print-wall'),
    standSand: numberFlag(flags, 'stand-sand'),
    threads: numberFlag(flags, 'threads'),
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
  const sides = lengthsFlag(flags, 'bed', 3, '220,220,250');
  return sides && { length: sides[0], width: sides[1], height: sides[2] };
}

/** The plate that the flags ask for. @throws OddsideError `bad-option` where a flag of the plate comes without `--plate`. */
function plateFlags(flags: Flags): PatternPlate | undefined {
  const inside = lengthsFlag(flags, 'plate', 2, '300,250');
  if (!inside) {
    const lone = ['plate-rim', 'plate-thickness', 'guides', 'guides-apart'].find((name) => flags.texts.has(name));
    if (lone === undefined) return undefined;
    throw new OddsideError(
      'bad-option',
      `--${lone} belongs to a plate, but --plate is missing. Add the flask's inside, such as --plate 300,250.`,
    );
  }
  const diameter = numberFlag(flags, 'guides');
  const across = numberFlag(flags, 'guides-apart');
  if (across !== undefined && diameter === undefined) {
    throw new OddsideError('bad-option', '--guides-apart needs --guides with their diameter, such as --guides 10.');
  }
  return {
    flask: { length: inside[0], width: inside[1] },
    rim: numberFlag(flags, 'plate-rim'),
    thickness: numberFlag(flags, 'plate-thickness'),
    guides: diameter === undefined ? undefined : { diameter, across },
  };
}

/** Lengths with commas between them. @throws OddsideError `bad-number` that names the flag and what came. */
function lengthsFlag(flags: Flags, name: string, count: number, example: string): number[] | undefined {
  const text = flags.texts.get(name);
  if (text === undefined) return undefined;
  const lengths = text.split(',').map(Number);
  if (lengths.length === count && lengths.every((length) => length > 0)) return lengths;
  throw new OddsideError(
    'bad-number',
    `--${name} needs ${count === 2 ? 'two' : 'three'} lengths in mm with commas, such as ${example}; "${text}" came.`,
  );
}
