/** The command: picks the sub-command, turns errors into one clear line and an exit code. */
import { isOddsideError, nearestNames, OddsideError } from '@oddside/core';
import { ALLOYS_FLAGS, alloysCommand } from './alloys-command.js';
import { HEAT_FLAGS, heatCommand } from './heat-command.js';
import { LOOK_FLAGS, lookCommand } from './look-command.js';
import { MAKE_FLAGS, makeCommand } from './make-command.js';
import { METAL_FLAGS, metalCommand } from './metal-command.js';
import { PLAN_FLAGS, planCommand } from './plan-command.js';
import { readFlags, type Flag, type Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';
import { readWorkshop, type Workshop } from './workshop.js';

interface SubCommand {
  readonly use: string;
  readonly about: string;
  readonly flags: readonly Flag[];
  readonly examples: readonly string[];
  readonly run: (flags: Flags, terminal: Terminal, signal: AbortSignal, workshop: Workshop) => void | Promise<void>;
}

const SUB_COMMANDS: ReadonlyMap<string, SubCommand> = new Map<string, SubCommand>([
  [
    'plan',
    {
      use: 'oddside plan FILE',
      about: 'the whole job: how it lies, where it parts, what is trapped, what to melt',
      flags: PLAN_FLAGS,
      examples: [
        'oddside plan fairlead.stl --unit mm --alloy c90500',
        'oddside plan lamp-bracket.stl -u inch --show imperial -o bracket',
      ],
      run: planCommand,
    },
  ],
  [
    'look',
    {
      use: 'oddside look FILE ...',
      about: 'only look at files: sound or not, size, volume, what is wrong',
      flags: LOOK_FLAGS,
      examples: ['oddside look cleat.stl name-plate.obj --unit mm'],
      run: lookCommand,
    },
  ],
  [
    'metal',
    {
      use: 'oddside metal',
      about: 'only the metal, for a casting of known volume or weight',
      flags: METAL_FLAGS,
      examples: ['oddside metal --volume 410 --alloy bz95_5', 'oddside metal --pounds 8 --yield 0.6 --show both'],
      run: metalCommand,
    },
  ],
  [
    'make',
    {
      use: 'oddside make FILE',
      about: 'the things to print: the halves of the pattern, loose or on a plate, and the board to ram the drag on',
      flags: MAKE_FLAGS,
      examples: [
        'oddside make name-plate.stl --unit mm',
        'oddside make fairlead.stl --joint shaped --bed 220,220,250',
        'oddside make cleat.stl --unit mm --draft 2 --plate 300,250 --guides 10',
      ],
      run: makeCommand,
    },
  ],
  [
    'heat',
    {
      use: 'oddside heat',
      about: 'note a heat as it was weighed; say what your heats teach',
      flags: HEAT_FLAGS,
      examples: ['oddside heat --estimated 3.2 --weighed 3.1 --melted 5.8 --alloy c90500', 'oddside heat'],
      run: heatCommand,
    },
  ],
  [
    'alloys',
    {
      use: 'oddside alloys',
      about: 'the metals it knows, with density, liquidus and contraction',
      flags: ALLOYS_FLAGS,
      examples: ['oddside alloys'],
      run: alloysCommand,
    },
  ],
]);

/** Exit codes: all well; the job or the file is at fault; the command line is; stopped by the user. */
export const EXIT: Readonly<{ well: 0; job: 1; usage: 2; stopped: 130 }> = Object.freeze({
  well: 0,
  job: 1,
  usage: 2,
  stopped: 130,
});

const USAGE_CODES: readonly string[] = Object.freeze([
  'bad-option',
  'bad-number',
  'bad-direction',
  'unknown-unit',
  'unknown-alloy',
]);

/**
 * Runs the command.
 *
 * @param words What came after the program's name.
 * @returns The exit code, see {@link EXIT}.
 */
export async function runCommand(words: readonly string[], terminal: Terminal = processTerminal()): Promise<number> {
  const stop = new AbortController();
  const onInterrupt = (): void => stop.abort(new DOMException('Stopped.', 'AbortError'));
  process.once('SIGINT', onInterrupt);
  try {
    await dispatch(words, terminal, stop.signal);
    return EXIT.well;
  } catch (error) {
    if (stop.signal.aborted) {
      terminal.err('oddside: stopped; nothing was written.\n');
      return EXIT.stopped;
    }
    terminal.err(`oddside: ${error instanceof Error ? error.message : String(error)}\n`);
    return isOddsideError(error) && USAGE_CODES.includes(error.code) ? EXIT.usage : EXIT.job;
  } finally {
    process.removeListener('SIGINT', onInterrupt);
  }
}

async function dispatch(words: readonly string[], terminal: Terminal, signal: AbortSignal): Promise<void> {
  const [name, ...rest] = words;
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    terminal.out(helpOf(rest[0]));
    return;
  }
  const command = SUB_COMMANDS.get(name);
  if (!command) {
    const known = [...SUB_COMMANDS.keys()];
    throw new OddsideError(
      'bad-option',
      `"${name}" is not something oddside does. Did you mean "${nearestNames(name, known, 1)[0]}"? It does: ${known.join(', ')}. See oddside --help.`,
    );
  }
  if (rest.includes('--help') || rest.includes('-h')) terminal.out(helpOf(name));
  else await command.run(readFlags(rest, command.flags), terminal, signal, await readWorkshop(process.cwd()));
}

function helpOf(name: string | undefined): string {
  const command = name === undefined ? undefined : SUB_COMMANDS.get(name);
  if (!command) {
    const lines = [...SUB_COMMANDS].map(([key, { about }]) => `  oddside ${key.padEnd(8)} ${about}`);
    return `oddside: everything a founder must decide about a sand mould, from the mesh of the pattern.\n\n${lines.join('\n')}\n\nFlags and examples: oddside plan --help\nA file oddside-workshop.json in the folder holds what you would type each time: show, unit, alloy, pot, yield.\nExit codes: 0 done, 1 the file or the job is at fault, 2 the command line is, 130 stopped.\n`;
  }
  const flags = command.flags.map((flag) => {
    const left = `${flag.short ? `-${flag.short}, ` : '    '}--${flag.name}${flag.value ? ` ${flag.value}` : ''}`;
    return `  ${left.padEnd(26)} ${flag.help}`;
  });
  return `${command.use} [flags]\n  ${command.about}\n\n${flags.join('\n')}\n\nExamples:\n${command.examples.map((line) => `  ${line}`).join('\n')}\n`;
}

function processTerminal(): Terminal {
  return {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    interactive: process.stderr.isTTY === true,
  };
}
