/** `oddside alloys`: what can be melted. */
import { formatShare, formatTemperature } from '@oddside/core';
import { alloys } from '@oddside/foundry';
import type { Flag, Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';

/** Flags of `oddside alloys`. */
export const ALLOYS_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'json', help: 'print every figure of every alloy as JSON, with its range and source' },
]);

/** Runs it. */
export function alloysCommand(flags: Flags, terminal: Terminal): void {
  if (flags.switches.has('json')) {
    terminal.out(`${JSON.stringify(alloys, null, 1)}\n`);
    return;
  }
  const rows = alloys.map((alloy) => [
    alloy.id,
    alloy.name,
    `${(alloy.densityKgM3.value / 1000).toFixed(2)} g/cm³`,
    `melts ${formatTemperature(alloy.liquidusC.value, 'both')}`,
    `contracts ${formatShare(alloy.contraction.value)}`,
  ]);
  const widths = rows[0].map((_, column) => Math.max(...rows.map((row) => row[column].length)));
  for (const row of rows)
    terminal.out(
      `${row
        .map((cell, i) => cell.padEnd(widths[i]))
        .join('  ')
        .trimEnd()}\n`,
    );
}
