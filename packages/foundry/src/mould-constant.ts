/** Chvorinov's mould constant, computed from the properties of metal and sand. */
import { type Ranged, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { between, notNegative } from './check-option.js';
import { fromMemory } from './references.js';
import { type DefaultsOf, type FoundryResult, give, quantity, working } from './result.js';

/** What `mouldConstant` takes. */
export interface MouldConstantOptions {
  readonly alloy: string | Alloy;
  /** Degrees above the liquidus as the mould comes full. Default 50. */
  readonly superheatC?: number;
  /** Temperature of the mould, °C. Default 20. */
  readonly mouldC?: number;
  /** Heat conduction of the rammed sand, W/(m·K). Default 0.6. */
  readonly sandConductivityWMK?: number;
  /** Default 1600. */
  readonly sandDensityKgM3?: number;
  /** Default 1130. */
  readonly sandHeatJKgK?: number;
}

/** The constant B of t = B·M². */
export interface MouldConstantResult extends FoundryResult {
  /** s/mm²; known to ±50 % at best. */
  readonly constantSMm2: Ranged;
  /** Always false: use ratios of freezing times for design, not the times. */
  readonly reliable: boolean;
}

export const MOULD_CONSTANT_DEFAULTS: DefaultsOf<MouldConstantOptions> = Object.freeze({
  alloy: undefined,
  superheatC: 50,
  mouldC: 20,
  sandConductivityWMK: 0.6,
  sandDensityKgM3: 1600,
  sandHeatJKgK: 1130,
});

/** Error of a time from computed properties: dry or damp, hard or soft sand alone moves it this much. */
export const FREEZING_TIME_ERROR = 0.5;

/** s/mm² from the books' min/cm². */
export const minutesPerCm2 = (value: number): number => value * 0.6;
/** s/mm² from min/mm², as exam problems print it. */
export const minutesPerMm2 = (value: number): number => value * 60;

/**
 * B from heat flowing one way into thick sand:
 * B = [ρ (L + c ΔT) / (T_m − T_0)]² · π / (4 k ρ_s c_s), T_m the middle of the freezing range.
 */
export function mouldConstant(options: MouldConstantOptions): MouldConstantResult {
  const given = resolveOptions('mouldConstant', MOULD_CONSTANT_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const superheat = notNegative(given, 'superheatC', '°C', 600);
  const freezing = (alloy.solidusC.value + alloy.liquidusC.value) / 2;
  const mouldC = between(given, 'mouldC', '°C', -50, freezing - 20);
  const k = between(given, 'sandConductivityWMK', 'W/(m·K)', 0.05, 20);
  const density = between(given, 'sandDensityKgM3', 'kg/m³', 500, 6000);
  const heat = between(given, 'sandHeatJKgK', 'J/(kg·K)', 300, 3000);
  const perVolume =
    alloy.densityKgM3.value * (alloy.latentHeatKjKg.value * 1000 + alloy.liquidHeatJKgK.value * superheat);
  const value = (((perVolume / (freezing - mouldC)) ** 2 * Math.PI) / (4 * k * density * heat)) * 1e-6;
  return {
    constantSMm2: give(value, FREEZING_TIME_ERROR),
    reliable: false,
    workings: [
      working(
        'mould constant from properties',
        'B = [ρ (L + c ΔT) / (T_m − T_0)]² π / (4 k ρ_s c_s)',
        [
          quantity('density', alloy.densityKgM3.value, 'kg/m³'),
          quantity('latent heat', alloy.latentHeatKjKg.value, 'kJ/kg'),
          quantity('superheat', superheat, '°C'),
          quantity('freezing temperature', freezing, '°C'),
          quantity('sand: conductivity', k, 'W/(m·K)'),
          quantity('sand: density', density, 'kg/m³'),
          quantity('sand: specific heat', heat, 'J/(kg·K)'),
        ],
        quantity('B', value, 's/mm²'),
        fromMemory('one-way heat flow into a thick mould (Chvorinov; Campbell, Castings)'),
      ),
    ],
    findings: [
      {
        code: 'freezing-time-rough',
        severity: 'note',
        message: 'Freezing times from properties are good to ±50 %; compare sections by their ratio instead.',
        remedy: 'Time one casting in your own sand and work from that.',
      },
    ],
  };
}
