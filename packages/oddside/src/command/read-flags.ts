/** Flags of the command: what each sub-command knows, and a helpful word for every wrong one. */
import { nearestNames, OddsideError } from '@oddside/core';
import { parseArgs } from 'node:util';

/** One flag as it is described and parsed. */
export interface Flag {
  readonly name: string;
  readonly short?: string;
  /** What follows the flag in `--help`; absent for a switch. */
  readonly value?: string;
  readonly help: string;
}

/** What came on the command line of one sub-command. */
export interface Flags {
  readonly files: readonly string[];
  readonly texts: ReadonlyMap<string, string>;
  readonly switches: ReadonlySet<string>;
}

/**
 * Parses the words after a sub-command.
 *
 * @throws OddsideError `bad-option` that names the flag, the nearest one known, or the value that is missing.
 */
export function readFlags(words: readonly string[], flags: readonly Flag[]): Flags {
  const options = Object.fromEntries(
    flags.map((flag) => [
      flag.name,
      { type: flag.value ? ('string' as const) : ('boolean' as const), ...(flag.short ? { short: flag.short } : {}) },
    ]),
  );
  const known = new Map(flags.map((flag) => [`--${flag.name}`, flag]));
  for (const flag of flags) if (flag.short) known.set(`-${flag.short}`, flag);
  checkWords(words, known);
  const { values, positionals } = parseArgs({ args: [...words], options, allowPositionals: true, strict: true });
  const texts = new Map<string, string>();
  const switches = new Set<string>();
  for (const [name, value] of Object.entries(values)) {
    if (typeof value === 'string') texts.set(name, value);
    else if (value === true) switches.add(name);
  }
  return { files: positionals, texts, switches };
}

/** Looks for wrong flags ourselves, so that the message can say what would be right. */
function checkWords(words: readonly string[], known: ReadonlyMap<string, Flag>): void {
  for (let i = 0; i < words.length; i++) {
    const word = words[i];
    if (word === '--') return;
    if (!word.startsWith('-') || word === '-') continue;
    const [name, inline] = word.split('=', 2) as [string, string?];
    const flag = known.get(name);
    if (!flag) {
      const names = [...known.keys()].filter((key) => key.startsWith('--'));
      throw new OddsideError(
        'bad-option',
        `${name} is not a flag here. Did you mean ${nearestNames(name, names, 1)[0]}? It takes: ${names.join(' ')}.`,
        { flag: name, known: names },
      );
    }
    if (!flag.value && inline !== undefined) {
      throw new OddsideError('bad-option', `${name} is a switch and takes no value, but "${inline}" came.`, {
        flag: name,
      });
    }
    if (flag.value && inline === undefined) {
      const next = words[i + 1];
      // A negative number after a flag is its value, not another flag.
      if (next === undefined || (next.startsWith('-') && !/^-[\d.,]/.test(next))) {
        throw new OddsideError('bad-option', `${name} needs ${flag.value} after it, but ${next ?? 'nothing'} came.`, {
          flag: name,
        });
      }
      if (next.startsWith('-')) {
        throw new OddsideError('bad-option', `Write ${name}=${next}: a value that begins with "-" must follow "=".`, {
          flag: name,
        });
      }
      i++;
    }
  }
}

/**
 * A number given to a flag.
 *
 * @throws OddsideError `bad-number` that names the flag and what came.
 */
export function numberFlag(flags: Flags, name: string): number | undefined {
  const text = flags.texts.get(name);
  if (text === undefined) return undefined;
  const value = text.trim() === '' ? NaN : Number(text);
  if (Number.isFinite(value)) return value;
  throw new OddsideError('bad-number', `--${name} needs a number, such as 150 or 0.6; "${text}" came.`, { flag: name });
}

/**
 * The one file a sub-command takes.
 *
 * @param example How it is typed, for the message.
 * @throws OddsideError `bad-option` that says how many came.
 */
export function oneFile(flags: Flags, example: string): string {
  const [file, ...more] = flags.files;
  if (file !== undefined && more.length === 0) return file;
  const name = example.split(' ').slice(0, 2).join(' ');
  throw new OddsideError('bad-option', `${name} takes one file, such as: ${example}; ${flags.files.length} came.`);
}
