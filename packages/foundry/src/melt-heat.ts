/** Heat to melt and superheat, fuel for it, and time. */
import { checkChoice, checkNumber, type Finding, OddsideError, type Ranged, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { between, notNegative, positive } from './check-option.js';
import { type Fuel, type Furnace, furnaceEfficiencies, fuels } from './furnaces.js';
import { seen } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, over, quantity, times, working } from './result.js';

/** Heats and temperatures of a metal in place of an alloy's. */
export interface MetalHeats {
  readonly solidusC: number;
  readonly liquidusC: number;
  readonly latentHeatKjKg: number;
  readonly solidHeatJKgK: number;
  readonly liquidHeatJKgK: number;
}

/** What `meltHeat` takes. */
export interface MeltHeatOptions {
  /** Id, name, number or alloy; or `heats`. */
  readonly alloy?: string | Alloy;
  readonly heats?: MetalHeats;
  readonly massKg: number;
  /** °C. Default 20. */
  readonly startC?: number;
  /** Temperature when the pot leaves the furnace, °C. Default: the middle of the alloy's light pouring range. */
  readonly pouringC?: number;
  /** Default `lidded gas crucible`. */
  readonly furnace?: Furnace;
  /** Share of the heat that ends in the metal, in place of the furnace's. */
  readonly efficiency?: number;
  /** Heat the burner or element gives, kW, for the time. */
  readonly powerKw?: number;
}

/** Fuel of one kind that would do it. */
export interface FuelNeed {
  readonly fuel: Fuel;
  readonly unit: 'kg' | 'm³' | 'kWh';
  readonly amount: Ranged;
}

/** Heat, fuel and time. */
export interface MeltHeat extends FoundryResult {
  /** Into the metal. */
  readonly heatKj: Ranged;
  readonly heatKjKg: number;
  /** Its parts, kJ/kg: warming, freezing range, latent, superheat. */
  readonly partsKjKg: {
    readonly warming: number;
    readonly range: number;
    readonly latent: number;
    readonly superheat: number;
  };
  readonly efficiency: Ranged;
  /** Out of the fuel. */
  readonly fuelHeatKj: Ranged;
  /** Every fuel the furnace can burn. */
  readonly fuels: readonly FuelNeed[];
  /** With `powerKw`: from cold metal in a hot furnace. */
  readonly timeS: Ranged | undefined;
}

export const MELT_HEAT_DEFAULTS: DefaultsOf<MeltHeatOptions> = Object.freeze({
  alloy: undefined,
  heats: undefined,
  massKg: undefined,
  startC: 20,
  pouringC: undefined,
  furnace: 'lidded gas crucible',
  efficiency: undefined,
  powerKw: undefined,
});

const HEATS: readonly (keyof MetalHeats)[] = [
  'solidusC',
  'liquidusC',
  'latentHeatKjKg',
  'solidHeatJKgK',
  'liquidHeatJKgK',
];
const FORMULA = seen('casting lecture on heating of metal: q = c_s ΔT + L + c_l ΔT');
/** Room-temperature specific heats read low by 10–20 % over the whole way up. */
const READS_LOW = 0.15;

/** Heat balance of a melt. The metal's heat is good to about 15 %, the fuel only to the furnace's efficiency. */
export function meltHeat(options: MeltHeatOptions): MeltHeat {
  const given = resolveOptions('meltHeat', MELT_HEAT_DEFAULTS, options);
  const alloy = given.alloy === undefined ? undefined : resolveAlloy(given.alloy);
  const heats = given.heats ?? (alloy && heatsOf(alloy));
  if (heats === undefined) throw new OddsideError('bad-option', 'meltHeat needs an alloy, or heats of the metal.');
  for (const name of HEATS) checkNumber(`heats.${name}`, heats[name], { min: 0 });
  const massKg = notNegative(given, 'massKg', 'kg');
  const startC = between(given, 'startC', '°C', -60, heats.solidusC);
  const pouringC = checkNumber('pouringC (°C, at least the liquidus)', given.pouringC ?? alloy?.pouringLightC.value, {
    min: heats.liquidusC,
    max: 3000,
  });
  const parts = {
    warming: (heats.solidHeatJKgK * (heats.solidusC - startC)) / 1000,
    range: ((heats.solidHeatJKgK + heats.liquidHeatJKgK) / 2 / 1000) * (heats.liquidusC - heats.solidusC),
    latent: heats.latentHeatKjKg,
    superheat: (heats.liquidHeatJKgK * (pouringC - heats.liquidusC)) / 1000,
  };
  const heatKjKg = parts.warming + parts.range + parts.latent + parts.superheat;
  const heatKj: Ranged = {
    value: massKg * heatKjKg,
    low: massKg * heatKjKg * 0.95,
    high: massKg * (heatKjKg + READS_LOW * (parts.warming + parts.range)),
  };
  const efficiency = efficiencyOf(given);
  const fuelHeatKj = over(heatKj, efficiency);
  const electric = given.furnace === 'resistance crucible' || given.furnace === 'induction';
  const powerKw = given.powerKw === undefined ? undefined : positive(given, 'powerKw', 'kW');
  return {
    heatKj,
    heatKjKg,
    partsKjKg: parts,
    efficiency,
    fuelHeatKj,
    fuels: (Object.keys(fuels) as Fuel[])
      .filter((name) => fuels[name].electric === electric)
      .map((name) => ({
        fuel: name,
        unit: fuels[name].unit,
        amount: times(fuelHeatKj, exactly(1 / fuels[name].heatKjPerUnit)),
      })),
    timeS: powerKw === undefined ? undefined : times(fuelHeatKj, exactly(1 / powerKw)),
    workings: [
      working(
        'heat to melt and superheat',
        'q = c_s (T_sol − T_0) + c̄ (T_liq − T_sol) + L + c_l (T_pour − T_liq)',
        [
          quantity('mass', massKg, 'kg'),
          quantity('from', startC, '°C'),
          quantity('solidus', heats.solidusC, '°C'),
          quantity('liquidus', heats.liquidusC, '°C'),
          quantity('to', pouringC, '°C'),
          quantity('latent heat', heats.latentHeatKjKg, 'kJ/kg'),
        ],
        quantity('heat', heatKj.value, 'kJ'),
        FORMULA,
      ),
      working(
        'heat out of the fuel',
        'fuel heat = heat / efficiency',
        [quantity('efficiency', efficiency.value, '1')],
        quantity('fuel heat', fuelHeatKj.value, 'kJ'),
        given.efficiency === undefined ? furnaceEfficiencies[given.furnace!].reference : FORMULA,
      ),
    ],
    findings: heatFindings(alloy, pouringC),
  };
}

const heatsOf = (alloy: Alloy): MetalHeats =>
  Object.fromEntries(HEATS.map((name) => [name, alloy[name].value])) as Record<keyof MetalHeats, number>;

function efficiencyOf(given: typeof MELT_HEAT_DEFAULTS): Ranged {
  if (given.efficiency !== undefined) {
    return exactly(positive(given, 'efficiency', '0–1', 1));
  }
  const known = Object.keys(furnaceEfficiencies) as Furnace[];
  return furnaceEfficiencies[checkChoice('meltHeat: furnace', given.furnace, known, 'unknown-name')];
}

function heatFindings(alloy: Alloy | undefined, pouringC: number): Finding[] {
  const findings: Finding[] = [];
  if (alloy && pouringC > alloy.pouringLightC.high) {
    findings.push({
      code: 'overheated',
      severity: 'warning',
      message: `${Math.round(pouringC)} °C is above the pouring range of ${alloy.name} (to ${alloy.pouringLightC.high} °C): gas, coarse grain and burnt-out elements.`,
      remedy: 'Pour as cool as fills the mould.',
    });
  }
  if (alloy && pouringC < alloy.pouringHeavyC.low) {
    findings.push({
      code: 'underheated',
      severity: 'warning',
      message: `${Math.round(pouringC)} °C is below the pouring range of ${alloy.name} (from ${alloy.pouringHeavyC.low} °C): it may not run.`,
    });
  }
  return findings;
}
