/** The workshop's own settings, typed once: a small JSON file that a person can read and write. */
import {
  isOddsideError,
  lengthUnit,
  nearestNames,
  OddsideError,
  type LengthUnit,
  type UnitSystem,
} from '@oddside/core';

/** What a workshop can say about itself. Every part is optional. */
export interface Workshop {
  /** Units shown. */
  readonly show?: UnitSystem;
  /** Unit of files that do not say their own. */
  readonly unit?: LengthUnit;
  /** Alloy used when none is named. */
  readonly alloy?: string;
  /** Number of the pot at hand. */
  readonly pot?: number;
  /** Yield learned or believed, 0.05–1. */
  readonly yield?: number;
  /** Flasks at hand: inside length and width, depth of cope and of drag, mm. */
  readonly flasks?: readonly (readonly [number, number, number, number])[];
  /** Past heats, oldest first. */
  readonly heats?: readonly LoggedHeat[];
}

/** One heat as it was estimated and as it was weighed, kg. */
export interface LoggedHeat {
  /** When, as the founder wrote it. */
  readonly day: string;
  readonly alloy: string;
  readonly estimatedCastingKg: number;
  readonly weighedCastingKg: number;
  readonly meltedKg: number;
}

/** Name of the settings file, looked for in the folder the command runs in. */
export const WORKSHOP_FILE = 'oddside-workshop.json';

const KNOWN = Object.freeze(['show', 'unit', 'alloy', 'pot', 'yield', 'flasks', 'heats']);

/** Reads the settings of a folder; an absent file is an empty workshop. */
export async function readWorkshop(folder: string): Promise<Workshop> {
  const { readFile } = await import('node:fs/promises');
  const { join } = await import('node:path');
  const path = join(folder, WORKSHOP_FILE);
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (cause) {
    if ((cause as { code?: string }).code === 'ENOENT') return {};
    throw new OddsideError(
      'unreadable-source',
      `${path} could not be read (${(cause as Error).message}).`,
      { path },
      { cause },
    );
  }
  return checkWorkshop(parseJson(text, path), path);
}

/** Writes the settings, indented, with a final newline. */
export async function writeWorkshop(folder: string, workshop: Workshop): Promise<string> {
  const { writeFile } = await import('node:fs/promises');
  const { join } = await import('node:path');
  const path = join(folder, WORKSHOP_FILE);
  try {
    await writeFile(path, `${JSON.stringify(workshop, null, 2)}\n`);
  } catch (cause) {
    const why = (cause as Error).message;
    throw new OddsideError('unwritable-target', `${path} could not be written (${why}).`, { path }, { cause });
  }
  return path;
}

function parseJson(text: string, path: string): unknown {
  try {
    // Editors on Windows may put a mark before the first brace.
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (cause) {
    throw new OddsideError(
      'bad-file',
      `${path} is not JSON (${(cause as Error).message}). Mend it or remove it.`,
      { path },
      { cause },
    );
  }
}

/**
 * Checks settings that came from a file.
 *
 * @throws OddsideError `bad-file` that names the entry, what was expected and what came.
 */
export function checkWorkshop(value: unknown, path: string): Workshop {
  const fault = (what: string): never => {
    throw new OddsideError('bad-file', `${path}: ${what}`, { path });
  };
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return fault('settings in braces were expected, such as { "alloy": "c90500" }.');
  }
  const given = value as Record<string, unknown>;
  for (const key of Object.keys(given)) {
    if (!KNOWN.includes(key)) fault(`"${key}" is no setting. Did you mean "${nearestNames(key, KNOWN, 1)[0]}"?`);
  }
  const number = (key: string, low: number, high: number): void => {
    const it = given[key];
    if (it === undefined) return;
    if (typeof it !== 'number' || !(it >= low && it <= high))
      fault(`"${key}" must be a number from ${low} to ${high}.`);
  };
  number('pot', 1, 1000);
  number('yield', 0.05, 1);
  if (given['show'] !== undefined && !['metric', 'imperial', 'both'].includes(given['show'] as string)) {
    fault('"show" must be "metric", "imperial" or "both".');
  }
  if (given['alloy'] !== undefined && typeof given['alloy'] !== 'string') fault('"alloy" must be a name in quotes.');
  if (given['unit'] !== undefined) checkUnit(given['unit'], fault);
  checkFlasks(given['flasks'], fault);
  checkHeats(given['heats'], fault);
  return given as Workshop;
}

function checkUnit(unit: unknown, fault: (what: string) => never): void {
  try {
    lengthUnit(String(unit));
  } catch (error) {
    if (isOddsideError(error)) fault(error.message);
    throw error;
  }
}

function checkFlasks(flasks: unknown, fault: (what: string) => never): void {
  if (flasks === undefined) return;
  const good =
    Array.isArray(flasks) &&
    flasks.every(
      (flask) =>
        Array.isArray(flask) && flask.length === 4 && flask.every((side) => typeof side === 'number' && side > 0),
    );
  if (!good)
    fault('"flasks" must be a list of [length, width, cope depth, drag depth] in mm, such as [[300, 250, 100, 100]].');
}

function checkHeats(heats: unknown, fault: (what: string) => never): void {
  if (heats === undefined) return;
  const numbers = ['estimatedCastingKg', 'weighedCastingKg', 'meltedKg'];
  const good =
    Array.isArray(heats) &&
    heats.every(
      (heat) =>
        typeof heat === 'object' && heat !== null && numbers.every((key) => (heat as Record<string, number>)[key]! > 0),
    );
  if (!good) fault(`"heats" must be a list of heats, each with ${numbers.join(', ')} above 0.`);
}
