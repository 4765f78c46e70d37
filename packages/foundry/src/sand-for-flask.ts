/** Sand in each half of the flask: volume, mass and mix. */
import {
  checkChoice,
  checkNumber,
  type Finding,
  OddsideError,
  plainNumber,
  type Ranged,
  resolveOptions,
} from '@oddside/core';
import { notNegative, positive } from './check-option.js';
import { fromMemory, GEOMETRY } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, mapRange, plus, quantity, working } from './result.js';
import { type SandPart, type SandRecipe, sandRecipes } from './sand-recipes.js';

/** What `sandForFlask` takes; lengths mm inside the flask. */
export interface FlaskSandOptions {
  readonly length: number;
  readonly width: number;
  readonly copeDepth: number;
  readonly dragDepth: number;
  /** Volume that pattern, gating and feeders take out of each half, mm³. Default 0. */
  readonly copeCavityMm3?: number;
  readonly dragCavityMm3?: number;
  /** Name of a recipe, or your own. Default `green`. */
  readonly recipe?: string | SandRecipe;
  /** Rammed density, kg/m³, in place of the recipe's. */
  readonly rammedDensityKgM3?: number;
  /** Mass of the casting, kg, for the sand-to-metal ratio. */
  readonly castingMassKg?: number;
}

/** Sand of one half. */
export interface HalfSand {
  readonly sandVolumeMm3: number;
  readonly massKg: Ranged;
  /** Counted low, for holding a cope down. */
  readonly countedMassKg: number;
  /** Counted high, for lifting it. */
  readonly liftingMassKg: number;
}

/** Sand of the flask. */
export interface FlaskSand extends FoundryResult {
  readonly cope: HalfSand;
  readonly drag: HalfSand;
  readonly sandVolumeMm3: number;
  readonly massKg: Ranged;
  /** Loose riddled sand to have ready, mm³. */
  readonly looseVolumeMm3: Ranged;
  /** What to mix, by mass. */
  readonly mix: readonly SandPart[];
  readonly sandToMetal: number | undefined;
}

export const FLASK_SAND_DEFAULTS: DefaultsOf<FlaskSandOptions> = Object.freeze({
  length: undefined,
  width: undefined,
  copeDepth: undefined,
  dragDepth: undefined,
  copeCavityMm3: 0,
  dragCavityMm3: 0,
  recipe: 'green',
  rammedDensityKgM3: undefined,
  castingMassKg: undefined,
});

/** Loose riddled sand, kg/m³. */
const LOOSE: readonly [number, number] = [1100, 1350];

function recipeOf(recipe: string | SandRecipe | undefined): SandRecipe {
  if (typeof recipe === 'object' && recipe !== null) {
    const shares = Array.isArray(recipe.parts) ? recipe.parts.map((part) => part?.share?.value) : [];
    if (shares.length > 0 && shares.every((share) => share > 0) && recipe.rammedDensityKgM3?.low > 0) return recipe;
    throw new OddsideError(
      'bad-option',
      'sandForFlask: a recipe of your own needs parts with a share above 0 each, and rammedDensityKgM3 with its range.',
    );
  }
  const known = sandRecipes.map(({ id }) => id);
  return sandRecipes[known.indexOf(checkChoice('sandForFlask: recipe', recipe, known, 'unknown-name'))]!;
}

/** Volume and mass of sand in each half, and what to mix for it. */
export function sandForFlask(options: FlaskSandOptions): FlaskSand {
  const given = resolveOptions('sandForFlask', FLASK_SAND_DEFAULTS, options);
  const recipe = recipeOf(given.recipe);
  const plan = positive(given, 'length', 'mm') * positive(given, 'width', 'mm');
  const density: Ranged =
    given.rammedDensityKgM3 === undefined ? recipe.rammedDensityKgM3 : exactly(given.rammedDensityKgM3);
  checkNumber('rammedDensityKgM3 (kg/m³)', density.value, { min: 500, max: 6000 });
  const half = (name: 'cope' | 'drag'): HalfSand => {
    const gross = plan * positive(given, `${name}Depth`, 'mm');
    const hole = notNegative(given, `${name}CavityMm3`, 'mm³, less than the half holds', gross);
    const sand = gross - hole;
    const massKg = mapRange(density, (rho) => sand * rho * 1e-9);
    return { sandVolumeMm3: sand, massKg, countedMassKg: massKg.low, liftingMassKg: massKg.high };
  };
  const cope = half('cope');
  const drag = half('drag');
  const massKg = plus(cope.massKg, drag.massKg);
  const metal = given.castingMassKg === undefined ? undefined : positive(given, 'castingMassKg', 'kg');
  const total = recipe.parts.reduce((sum, part) => sum + part.share.value, 0);
  const loose = (rho: number): number => (massKg.value / rho) * 1e9;
  return {
    cope,
    drag,
    sandVolumeMm3: cope.sandVolumeMm3 + drag.sandVolumeMm3,
    massKg,
    looseVolumeMm3: { value: loose((LOOSE[0] + LOOSE[1]) / 2), low: loose(LOOSE[1]), high: loose(LOOSE[0]) },
    mix: recipe.parts.map((part) => ({
      name: part.name,
      share: part.share.value / total,
      massKg: (massKg.value * part.share.value) / total,
    })),
    sandToMetal: metal === undefined ? undefined : massKg.value / metal,
    workings: [
      working(
        'sand in the flask',
        'mass = (length × width × depth − cavity) × rammed density, half by half',
        [
          quantity('plan of the flask', plan, 'mm²'),
          quantity('sand', cope.sandVolumeMm3 + drag.sandVolumeMm3, 'mm³'),
          quantity('rammed density', density.value, 'kg/m³'),
        ],
        quantity('sand', massKg.value, 'kg'),
        GEOMETRY,
      ),
    ],
    findings: sandFindings(massKg.value, metal, cope.massKg.high),
  };
}

const RATIO = fromMemory('foundry handbooks: sand to metal 4:1 to 8:1, small one-off work 6:1 to 12:1');

function sandFindings(sandKg: number, metalKg: number | undefined, copeKg: number): Finding[] {
  const findings: Finding[] = [
    {
      code: 'parting-dust',
      severity: 'note',
      message: 'Dust the parting with a non-silica powder; never with silica flour.',
      remedy: 'Chalk, calcined alumina, graphite or bone ash; talc only if certified free of asbestos.',
    },
  ];
  if (metalKg !== undefined && sandKg / metalKg < 4) {
    findings.push({
      code: 'little-sand',
      severity: 'warning',
      message: `The sand weighs only ${plainNumber(sandKg / metalKg, 2)} times the metal; 4 to 12 times is usual (${RATIO.status}).`,
      remedy: 'Take a bigger flask; thin sand burns through and runs out.',
    });
  }
  if (copeKg > 20) {
    findings.push({
      code: 'heavy-cope',
      severity: 'note',
      message: `The cope's sand may weigh ${plainNumber(copeKg)} kg: two people, and bars or roughened walls so that it does not drop.`,
    });
  }
  return findings;
}
