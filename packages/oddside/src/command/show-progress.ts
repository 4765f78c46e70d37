/** A progress bar on a terminal, nothing in a pipe. */
import type { Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';

const CELLS = 28;

/** Starts a bar. `clear` takes it away again and is safe to call more than once. */
export function showProgress(
  terminal: Terminal,
  flags: Flags,
): { report: (fraction: number) => void; clear: () => void } {
  const drawn = terminal.interactive && !flags.switches.has('quiet');
  let shown = -1;
  return {
    report(fraction) {
      const cells = Math.round(fraction * CELLS);
      if (!drawn || cells === shown) return;
      shown = cells;
      terminal.err(`\r${'■'.repeat(cells)}${'·'.repeat(CELLS - cells)} ${Math.round(fraction * 100)} %`);
    },
    clear() {
      if (shown >= 0) terminal.err(`\r${' '.repeat(CELLS + 8)}\r`);
      shown = -1;
    },
  };
}
