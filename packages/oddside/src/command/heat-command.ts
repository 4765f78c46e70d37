/** `oddside heat`: notes a heat as it was weighed, and says what the workshop's own heats teach. */
import { formatMass, formatShare, OddsideError, plainNumber } from '@oddside/core';
import { findAlloy, learnFromHeats } from '@oddside/foundry';
import { numberFlag, type Flag, type Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';
import { WORKSHOP_FILE, writeWorkshop, type LoggedHeat, type Workshop } from './workshop.js';

/** Flags of `oddside heat`. */
export const HEAT_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'alloy', short: 'a', value: 'ALLOY', help: 'what was melted' },
  { name: 'estimated', value: 'KG', help: 'what the casting was to weigh, kg' },
  { name: 'weighed', value: 'KG', help: 'what it weighed, fettled, kg' },
  { name: 'melted', value: 'KG', help: 'what went into the pot, kg' },
  { name: 'day', value: 'TEXT', help: 'when (default: today)' },
]);

/** Runs it: with all three masses a heat is added; without any, the log is summed up. */
export async function heatCommand(
  flags: Flags,
  terminal: Terminal,
  _signal: AbortSignal,
  workshop: Workshop,
): Promise<void> {
  const masses = ['estimated', 'weighed', 'melted'].map((name) => numberFlag(flags, name));
  const said = masses.filter((mass) => mass !== undefined);
  if (said.length !== 0 && (said.length !== 3 || said.some((mass) => !(mass > 0)))) {
    throw new OddsideError(
      'bad-option',
      `oddside heat needs --estimated, --weighed and --melted together, each above 0 kg, or none of them; ${said.length} came.`,
    );
  }
  let heats = workshop.heats ?? [];
  if (said.length === 3) {
    const [estimatedCastingKg, weighedCastingKg, meltedKg] = said as [number, number, number];
    const alloy = findAlloy(flags.texts.get('alloy') ?? workshop.alloy ?? 'bz95_5').id;
    const day = flags.texts.get('day') ?? new Date().toISOString().slice(0, 10);
    const heat: LoggedHeat = { day, alloy, estimatedCastingKg, weighedCastingKg, meltedKg };
    heats = [...heats, heat];
    const path = await writeWorkshop(process.cwd(), { ...workshop, heats });
    terminal.out(`Noted in ${path}.\n`);
  }
  if (heats.length === 0) {
    terminal.out(`No heats are noted in ${WORKSHOP_FILE} yet.\n`);
    return;
  }
  const learned = learnFromHeats({ heats });
  const spread = (range: { value: number; low: number; high: number }): string =>
    `${formatShare(range.value)} (${formatShare(range.low)}–${formatShare(range.high)})`;
  const total = heats.reduce((sum, heat) => sum + heat.meltedKg, 0);
  terminal.out(
    `${heats.length} heat${heats.length === 1 ? '' : 's'}, ${formatMass(total)} melted.\n` +
      `  yield of your workshop: ${spread(learned.yieldFraction)}\n` +
      `  castings weigh ${plainNumber(learned.massFactor.value, 4)} (${plainNumber(learned.massFactor.low, 4)}–${plainNumber(learned.massFactor.high, 4)}) times the estimate\n`,
  );
  for (const finding of learned.findings)
    terminal.out(`  ${finding.severity}: ${finding.message} ${finding.remedy ?? ''}\n`);
}
