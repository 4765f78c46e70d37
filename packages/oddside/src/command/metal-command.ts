/** `oddside metal`: what to melt for a casting whose volume or weight is known; no file needed. */
import {
  convertSentence,
  formatMass,
  formatShare,
  formatTemperature,
  OddsideError,
  pounds,
  type UnitSystem,
} from '@oddside/core';
import { BANNER, findAlloy, planMetal } from '@oddside/foundry';
import { numberFlag, type Flag, type Flags } from './read-flags.js';
import type { Terminal } from './terminal.js';
import type { Workshop } from './workshop.js';

/** Flags of `oddside metal`. */
export const METAL_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'alloy', short: 'a', value: 'ALLOY', help: 'id, name or standard number; see "oddside alloys"' },
  { name: 'volume', value: 'CM3', help: 'volume of the casting, cm³' },
  { name: 'weight', value: 'KG', help: 'or its weight, kg' },
  { name: 'pounds', value: 'LB', help: 'or its weight, lb' },
  { name: 'yield', value: 'SHARE', help: 'casting mass over metal melted, such as 0.6' },
  { name: 'pot', value: 'NUMBER', help: 'number of the pot at hand' },
  { name: 'show', value: 'UNITS', help: 'metric (default), imperial or both' },
  { name: 'json', help: 'print the plan as JSON' },
]);

/** Runs it. */
export function metalCommand(flags: Flags, terminal: Terminal, _signal: AbortSignal, workshop: Workshop): void {
  const alloy = findAlloy(flags.texts.get('alloy') ?? workshop.alloy ?? 'bz95_5');
  const volume = numberFlag(flags, 'volume');
  const weight = numberFlag(flags, 'weight');
  const inPounds = numberFlag(flags, 'pounds');
  const said = [volume, weight, inPounds].filter((value) => value !== undefined);
  if (said.length !== 1 || flags.files.length > 0) {
    throw new OddsideError(
      'bad-option',
      `oddside metal needs exactly one of --volume, --weight and --pounds and no file, such as: oddside metal --volume 410; ${said.length} of them and ${flags.files.length} files came.`,
    );
  }
  const massKg = weight ?? (inPounds === undefined ? undefined : pounds(inPounds));
  const castingVolumeMm3 = massKg === undefined ? volume! * 1000 : massKg / (alloy.densityKgM3.value * 1e-9);
  const plan = planMetal({
    alloy,
    castingVolumeMm3,
    yieldFraction: numberFlag(flags, 'yield') ?? workshop.yield,
    crucibleNumber: numberFlag(flags, 'pot') ?? workshop.pot,
  });
  if (flags.switches.has('json')) {
    terminal.out(`${JSON.stringify(plan)}\n`);
    return;
  }
  const show = (flags.texts.get('show') ?? workshop.show ?? 'metric') as UnitSystem;
  const { light, heavy } = plan.pouringTemperatureC;
  const say = (text: string): void => void terminal.out(`${convertSentence(text, show)}\n`);
  say(`${BANNER}\n\n${alloy.name}: ${plan.verdict.text}`);
  for (const line of plan.charge) {
    const share = formatShare(line.share);
    terminal.out(
      `  weigh in ${line.name}: ${formatMass(line.massKg, show)} (${share}, loss ${formatShare(line.lossFraction, 2)})\n`,
    );
  }
  terminal.out(
    `  together ${formatMass(plan.chargeMassKg.value, show)}; pour at ${formatTemperature(light.value, show)} if thin, ${formatTemperature(heavy.value, show)} if thick\n`,
  );
  for (const finding of plan.findings) say(`  ${finding.severity}: ${finding.message} ${finding.remedy ?? ''}`);
  for (const caution of plan.cautions.slice(0, 3)) say(`  ${caution.text}`);
}
