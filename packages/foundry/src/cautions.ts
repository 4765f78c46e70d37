/** Cautions by alloy, step and quantity, each with where it comes from. */
import { checkChoice, OddsideError, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import type { Caution, Step } from './caution.js';
import { ALLOY_CAUTIONS, GENERAL_CAUTIONS } from './cautions-list.js';
import { notNegative } from './check-option.js';
import type { DefaultsOf } from './result.js';

/** What narrows the list. */
export interface CautionOptions {
  /** Only these steps (what holds `always` stays). Default: all. */
  readonly steps?: readonly Step[];
  /** Metal melted, kg; adds the caution on lifting by quantity. */
  readonly massKg?: number;
  /** Pouring temperature, °C; adds what depends on it. Default: the alloy's highest. */
  readonly pouringC?: number;
}

export const CAUTION_DEFAULTS: DefaultsOf<CautionOptions> = Object.freeze({
  steps: undefined,
  massKg: undefined,
  pouringC: undefined,
});

/** Printed before any number of a job that leads to a pour. */
export const BANNER =
  'Estimates only. Molten metal kills and maims. Nothing here replaces training, a competent supervisor, your local codes or your own judgement.';

const STEPS: readonly Step[] = ['moulding', 'melting', 'pouring', 'shaking out', 'fettling', 'finishing'];

/**
 * What to print before the numbers: local codes first, then what this alloy, these steps and this quantity call for.
 *
 * @throws OddsideError `unknown-alloy`, or `bad-option` for steps that are no list or an unknown step.
 */
export function cautionsFor(alloy: string | Alloy, options?: CautionOptions): Caution[] {
  const metal = resolveAlloy(alloy);
  const given = resolveOptions('cautionsFor', CAUTION_DEFAULTS, options);
  if (given.steps !== undefined && !Array.isArray(given.steps)) {
    throw new OddsideError('bad-option', "cautionsFor: steps must be a list, such as ['pouring'].");
  }
  for (const step of given.steps ?? []) checkChoice('cautionsFor: a step', step, STEPS);
  const massKg = given.massKg === undefined ? 0 : notNegative(given, 'massKg', 'kg');
  const pouringC = given.pouringC === undefined ? metal.pouringLightC.high : notNegative(given, 'pouringC', '°C', 3000);
  const most = new Map(metal.composition.map((part) => [part.element, part.high]));
  const job = { share: (symbol: Parameters<typeof most.get>[0]) => most.get(symbol) ?? 0, metal, massKg, pouringC };
  return [...GENERAL_CAUTIONS, ...ALLOY_CAUTIONS]
    .filter((row) => row.applies === undefined || row.applies(job))
    .filter((row) => given.steps === undefined || row.when === 'always' || given.steps.includes(row.when))
    .map(({ code, text, when, reference }) => ({ code, text, when, reference }));
}
