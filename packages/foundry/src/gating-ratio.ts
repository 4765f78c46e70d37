/** Sprue : runner : gates by metal. */
import type { Reference } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { fromMemory, seen } from './references.js';

/** A gating ratio and its kind. */
export interface GatingRatio {
  /** Areas of sprue exit, runner and gates. */
  readonly ratio: readonly [number, number, number];
  /** True where the gates are smaller than the sprue and hold it under pressure. */
  readonly pressurised: boolean;
  readonly reference: Reference;
}

const LEXICON = seen('German foundry lexicon: ratios and the metals they are used for');
const row = (ratio: readonly [number, number, number], pressurised: boolean, reference: Reference): GatingRatio =>
  Object.freeze({ ratio: Object.freeze(ratio), pressurised, reference });

const UNPRESSURISED = row([1, 2, 4], false, LEXICON);
// Books disagree on brass and tin bronze; the quiet system is the default, the tin bronzes at its narrow end.
const TIN_BRONZE = row([1, 2, 2], false, fromMemory('foundry handbooks: tin bronze 1:2:1 to 1:2:2'));
const DROSSING = row([1, 4, 4], false, fromMemory('foundry handbooks: drossing bronzes 1:2:4 to 1:4:8'));
const STEEL = row([1, 2, 1.5], false, fromMemory('foundry handbooks: steel 1:2:1.5'));
const IRON = row(
  [1, 0.75, 0.5],
  true,
  seen('note on gating ratios: pressurised 1:0.75:0.5; for iron, German foundry lexicon'),
);

/** The ratio to use for an alloy unless the founder knows better. @throws OddsideError `unknown-alloy`. */
export function gatingRatio(alloy: string | Alloy): GatingRatio {
  switch (resolveAlloy(alloy).family) {
    case 'grey iron':
    case 'ductile iron':
      return IRON;
    case 'steel':
      return STEEL;
    case 'tin bronze':
      return TIN_BRONZE;
    case 'aluminium bronze':
    case 'manganese bronze':
      return DROSSING;
    default:
      return UNPRESSURISED;
  }
}
