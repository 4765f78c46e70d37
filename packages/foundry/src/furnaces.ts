/** Furnaces and fuels. */
import { COMMON_PRACTICE, fromMemory } from './references.js';
import type { SourcedRange } from './result.js';

/** Kinds of furnace by how much of the fuel's heat ends in the metal. */
export type Furnace = 'open burner pot' | 'lidded gas crucible' | 'reverberatory' | 'resistance crucible' | 'induction';

const HANDBOOK = fromMemory('foundry handbooks: furnace efficiency');
const row = (value: number, low: number, high: number, reference: SourcedRange['reference']): SourcedRange =>
  Object.freeze({ value, low, high, reference });

/** Share of the heat that ends in the metal, 0–1. Frozen. */
export const furnaceEfficiencies: Readonly<Record<Furnace, SourcedRange>> = Object.freeze({
  'open burner pot': row(0.1, 0.05, 0.15, COMMON_PRACTICE),
  'lidded gas crucible': row(0.15, 0.1, 0.2, HANDBOOK),
  reverberatory: row(0.27, 0.2, 0.35, HANDBOOK),
  'resistance crucible': row(0.6, 0.5, 0.7, HANDBOOK),
  induction: row(0.7, 0.6, 0.8, HANDBOOK),
});

/** Kinds of fuel. */
export type Fuel = 'propane' | 'natural gas' | 'heating oil' | 'charcoal' | 'electricity';

/** A fuel, by the unit it is bought in. */
export interface FuelFigures {
  readonly unit: 'kg' | 'm³' | 'kWh';
  /** Lower heating value, kJ per unit. */
  readonly heatKjPerUnit: number;
  readonly electric: boolean;
  readonly reference: SourcedRange['reference'];
}

const LHV = fromMemory('engineering handbooks: lower heating values');
const fuel = (unit: FuelFigures['unit'], heatKjPerUnit: number, electric = false): FuelFigures =>
  Object.freeze({ unit, heatKjPerUnit, electric, reference: LHV });

/** Heating values. Frozen. */
export const fuels: Readonly<Record<Fuel, FuelFigures>> = Object.freeze({
  propane: fuel('kg', 46300),
  'natural gas': fuel('m³', 35800),
  'heating oil': fuel('kg', 42600),
  charcoal: fuel('kg', 29000),
  electricity: fuel('kWh', 3600, true),
});
