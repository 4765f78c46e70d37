/** Moulding sands by recipe. */
import type { Ranged } from '@oddside/core';
import { COMMON_PRACTICE, fromMemory } from './references.js';
import type { SourcedRange } from './result.js';

/** One ingredient of a mix as it is weighed out. */
export interface SandPart {
  readonly name: string;
  /** Of the whole mix, 0–1. */
  readonly share: number;
  readonly massKg: number;
}

/** A sand by its parts. */
export interface SandRecipe {
  readonly id: string;
  readonly name: string;
  /** Parts by mass; they need not add up to 1. */
  readonly parts: readonly { readonly name: string; readonly share: SourcedRange }[];
  /** Rammed. */
  readonly rammedDensityKgM3: Ranged;
}

const HANDBOOK = fromMemory('foundry handbooks: green sand 85–92 % silica, 6–10 % bentonite, 2.5–4 % water');
const part = (name: string, value: number, low: number, high: number, reference = COMMON_PRACTICE) =>
  Object.freeze({ name, share: Object.freeze({ value, low, high, reference }) });
const density = (value: number, low: number, high: number): Ranged => Object.freeze({ value, low, high });

/** The recipes known by name. Frozen. */
export const sandRecipes: readonly SandRecipe[] = Object.freeze([
  Object.freeze({
    id: 'green',
    name: 'Green sand',
    parts: Object.freeze([
      part('dry silica sand', 0.885, 0.85, 0.92, HANDBOOK),
      part('bentonite', 0.08, 0.06, 0.1, HANDBOOK),
      part('water', 0.035, 0.025, 0.04, HANDBOOK),
    ]),
    // Problems in textbooks use 1600 to 1680; sand that must hold a cope down is counted at the low end.
    rammedDensityKgM3: density(1550, 1450, 1700),
  }),
  Object.freeze({
    id: 'oil-bonded',
    name: 'Oil-bonded sand',
    parts: Object.freeze([
      part('fine dry silica sand', 0.93, 0.9, 0.95),
      part('clay that takes up oil', 0.05, 0.04, 0.06),
      part('oil', 0.02, 0.015, 0.03),
    ]),
    rammedDensityKgM3: density(1575, 1500, 1650),
  }),
  Object.freeze({
    id: 'silicate',
    name: 'Sodium-silicate sand',
    parts: Object.freeze([part('dry silica sand', 0.965, 0.95, 0.97), part('sodium silicate', 0.035, 0.03, 0.05)]),
    rammedDensityKgM3: density(1550, 1450, 1650),
  }),
]);
