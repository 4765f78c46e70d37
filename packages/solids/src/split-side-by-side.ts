/** A split whose halves are made side by side, each in a thread. What they make is what one kernel makes. */
import { startPacing } from '@oddside/core';
import type { HalfInWork, HalfSide } from './half-in-work.js';
import type { KeptHalf } from './kept-halves.js';
import { copied, memoryOf, type BeginHalfWork, type HalfStep } from './solid-work.js';
import type { SolidThreads } from './solid-threads.js';
import type { Asked, Made } from './solids.js';
import { splitOptions } from './split-options.js';
import { splitWith, type AskBoth } from './split-pattern.js';

/**
 * True where halves share nothing that takes long to make: along a flat joint each has its own filling. Along a free-form
 * one both have the same; and a plate needs both in one kernel.
 */
export function goesSideBySide(given: Asked<'splitPattern'>[2] | undefined): boolean {
  if (given?.plate) return false;
  const kind = given?.joint?.kind;
  return kind === 'level' || kind === 'tilted' || (kind === 'surface' && given?.fill === false);
}

/** Splits. @throws what {@link splitPattern} throws; where both halves fail, what the cope half throws. */
export async function splitSideBySide(
  threads: SolidThreads,
  [pattern, direction, given]: Asked<'splitPattern'>,
  keep: (half: KeptHalf) => void,
): Promise<Made<'splitPattern'>> {
  const options = splitOptions(given);
  const pacer = startPacing(options);
  const { signal } = options;
  const begin = {
    split: threads.nextNumber(),
    pattern,
    direction,
    options: { ...options, signal: undefined, onProgress: undefined },
  };
  const halves = {
    cope: halfThere(threads, { ...begin, side: 'cope' }, signal),
    drag: halfThere(threads, { ...begin, side: 'drag' }, signal),
  };
  const both: AskBoth = async (ask, from, to) => {
    const asked = async (side: HalfSide): ReturnType<typeof ask> => {
      const answer = await ask(halves[side].work, side);
      pacer.report((from + to) / 2);
      return answer;
    };
    const [cope, drag] = await Promise.allSettled([asked('cope'), asked('drag')]);
    if (cope.status === 'rejected') throw cope.reason;
    if (drag.status === 'rejected') throw drag.reason;
    await pacer.step(to);
    return { cope: cope.value, drag: drag.value };
  };
  try {
    const split = await splitWith({ options, cope: halves.cope.work, both, keep, plate: null });
    pacer.finish();
    return split;
  } finally {
    halves.cope.leave();
    halves.drag.leave();
  }
}

interface HalfThere {
  readonly work: HalfInWork;
  readonly leave: () => void;
}

/** A half in one of the threads. */
function halfThere(
  threads: SolidThreads,
  begin: Omit<BeginHalfWork, 'kind' | 'half'>,
  signal: AbortSignal | undefined,
): HalfThere {
  const half = threads.nextNumber();
  const ask = <S extends HalfStep>(step: S, given: Parameters<HalfInWork[S]>): ReturnType<HalfInWork[S]> =>
    threads.ask({ kind: 'half', half, step, given }, { half, signal }) as ReturnType<HalfInWork[S]>;
  return {
    work: {
      make: async () => {
        const pattern = copied(begin.pattern);
        await threads.ask({ kind: 'begin', ...begin, half, pattern }, { half, signal, transfer: memoryOf(pattern) });
        return ask('make', []);
      },
      sites: (n) => ask('sites', [n]),
      holds: (dowels) => ask('holds', [dowels]),
      drill: (dowels) => ask('drill', [dowels]),
      dowels: (placed) => ask('dowels', [placed]),
      readOut: (how) => ask('readOut', [how]),
    },
    leave: () => threads.leave(half),
  };
}
