/** Sizes a feeder by modulus and by volume; the larger wins. */
import {
  checkChoice,
  checkNumber,
  type Finding,
  OddsideError,
  plainNumber,
  resolveOptions,
  type Working,
} from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { isIron } from './alloys/is-iron.js';
import { between, positive } from './check-option.js';
import { type CaineMetal, cylinderModulus, cylinderVolume, feederByCaine } from './feeder-rules.js';
import { fromMemory } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** What `sizeFeeder` takes. */
export interface FeederOptions {
  /** Gives the shrinkage and the second opinion. Needed unless `shrinkageFraction` is given. */
  readonly alloy?: string | Alloy;
  /** Volume that this feeder serves, mm³. */
  readonly castingVolumeMm3: number;
  /** Cooling surface of that volume, mm², contact with the feeder left out. Or give `castingModulus`. */
  readonly castingAreaMm2?: number;
  /** mm. */
  readonly castingModulus?: number;
  /** Volume lost on freezing, 0–0.15, in place of the alloy's highest figure. */
  readonly shrinkageFraction?: number;
  /** Feeder modulus over casting modulus. Default 1.2. */
  readonly modulusFactor?: number;
  /** Share of the feeder that can flow out, 0–1: 0.14 plain cylinder (default), 0.2 round bottom, 0.3–0.67 lagged. */
  readonly efficiency?: number;
  /** Height over diameter. Default 1. */
  readonly heightRatio?: number;
  /** 2 when it stands beside the casting (default), 1 when it sits on it. */
  readonly coolingEnds?: 1 | 2;
}

/** One way of sizing it; mm and mm³. */
export interface FeederSize {
  readonly diameter: number;
  readonly height: number;
  readonly volumeMm3: number;
}

/** The feeder. */
export interface FeederPlan extends FoundryResult, FeederSize {
  /** Which rule asked for the larger feeder. */
  readonly by: 'modulus' | 'volume' | 'none needed';
  readonly castingModulus: number;
  readonly modulus: number;
  readonly byModulus: FeederSize;
  readonly byVolume: FeederSize;
  /** Round neck: least diameter by modulus, greatest length. */
  readonly neck: { readonly modulus: number; readonly diameter: number; readonly length: number };
  /** By Caine's curve, from memory, where it has constants for the metal. */
  readonly secondOpinion: FeederSize | undefined;
  /** False: the factors are from memory of the books. */
  readonly reliable: boolean;
}

export const FEEDER_DEFAULTS: DefaultsOf<FeederOptions> = Object.freeze({
  alloy: undefined,
  castingVolumeMm3: undefined,
  castingAreaMm2: undefined,
  castingModulus: undefined,
  shrinkageFraction: undefined,
  modulusFactor: 1.2,
  efficiency: 0.14,
  heightRatio: 1,
  coolingEnds: 2,
});

const MODULUS = fromMemory('Wlodawer; Beeley, Foundry Technology: modulus 1 : 1.1 : 1.2 casting, neck, feeder');
const VOLUME = fromMemory('J. Campbell, Castings: V_f ≥ β V_c / (η − β)');
/** Neck modulus over casting modulus. */
const NECK = 1.1;

function caineMetal(alloy: Alloy | undefined): CaineMetal | undefined {
  switch (alloy?.family) {
    case 'steel':
    case 'aluminium':
    case 'grey iron':
    case 'aluminium bronze':
    case 'silicon bronze':
      return alloy.family;
    case 'yellow brass':
    case 'manganese bronze':
      return 'cast iron and brass';
    default:
      return undefined;
  }
}

/**
 * A cylindrical feeder that freezes after the casting (modulus) and holds enough metal to give (volume).
 *
 * @throws OddsideError `bad-option`, `bad-number`; `infeasible` when the efficiency is not above the shrinkage.
 */
export function sizeFeeder(options: FeederOptions): FeederPlan {
  const given = resolveOptions('sizeFeeder', FEEDER_DEFAULTS, options);
  const alloy = given.alloy === undefined ? undefined : resolveAlloy(given.alloy);
  const volume = positive(given, 'castingVolumeMm3', 'mm³');
  const beta = given.shrinkageFraction ?? alloy?.freezingShrinkage.high;
  if (beta === undefined) {
    throw new OddsideError('bad-option', 'sizeFeeder needs an alloy, or shrinkageFraction (0–0.15).');
  }
  checkNumber('shrinkageFraction (0–0.15)', beta, { min: -0.1, max: 0.15 });
  if (given.castingModulus === undefined && given.castingAreaMm2 === undefined) {
    throw new OddsideError(
      'bad-option',
      'sizeFeeder needs castingModulus in mm, or castingAreaMm2, its cooling surface.',
    );
  }
  const castingModulus =
    given.castingModulus === undefined
      ? volume / positive(given, 'castingAreaMm2', 'mm²')
      : positive(given, 'castingModulus', 'mm');
  const factor = between(given, 'modulusFactor', '', 1, 3);
  const eta = positive(given, 'efficiency', '0–1', 1);
  const heightRatio = between(given, 'heightRatio', '', 0.5, 3);
  const ends = checkChoice('coolingEnds', given.coolingEnds, [1, 2]);
  if (beta >= eta) {
    throw new OddsideError(
      'infeasible',
      `A feeder that gives ${plainNumber(eta * 100)} % of itself cannot feed a metal that loses ${plainNumber(beta * 100)} %. ` +
        'Insulate it or lag it and give a higher efficiency.',
      { efficiency: eta, shrinkage: beta },
    );
  }
  const cylinder = (diameter: number): FeederSize => ({
    diameter,
    height: diameter * heightRatio,
    volumeMm3: cylinderVolume(diameter, heightRatio),
  });
  const shape = cylinderModulus(heightRatio, ends);
  const byModulus = cylinder((factor * castingModulus) / shape);
  const wanted = beta <= 0 ? 0 : (beta * volume) / (eta - beta);
  const byVolume = cylinder(Math.cbrt((4 * wanted) / (Math.PI * heightRatio)));
  const by = beta <= 0 ? 'none needed' : byVolume.volumeMm3 > byModulus.volumeMm3 ? 'volume' : 'modulus';
  const chosen = by === 'volume' ? byVolume : by === 'modulus' ? byModulus : cylinder(0);
  const metal = caineMetal(alloy);
  const caine =
    metal === undefined
      ? undefined
      : feederByCaine({ metal, castingVolumeMm3: volume, castingModulus, heightRatio, coolingEnds: ends });
  const neckModulus = NECK * castingModulus;
  const workings: Working[] = [
    working(
      'feeder by modulus',
      'M_feeder = factor × M_casting; cylinder M = D h / (4 h + cooling ends), h = H/D',
      [
        quantity('casting modulus', castingModulus, 'mm'),
        quantity('factor', factor, '1'),
        quantity('H/D', heightRatio, '1'),
      ],
      quantity('diameter', byModulus.diameter, 'mm'),
      MODULUS,
    ),
    working(
      'feeder by volume',
      'V = β V_casting / (η − β)',
      [quantity('shrinkage β', beta, '1'), quantity('efficiency η', eta, '1'), quantity('casting', volume, 'mm³')],
      quantity('feeder', wanted, 'mm³'),
      VOLUME,
    ),
    ...(caine?.workings ?? []),
  ];
  return {
    ...chosen,
    by,
    castingModulus,
    modulus: shape * chosen.diameter,
    byModulus,
    byVolume,
    neck: { modulus: neckModulus, diameter: 4 * neckModulus, length: chosen.diameter / 2 },
    secondOpinion: caine && { diameter: caine.diameter, height: caine.height, volumeMm3: caine.volumeMm3 },
    reliable: false,
    workings,
    findings: feederFindings(alloy, chosen, volume, beta, caine?.volumeMm3),
  };
}

function feederFindings(
  alloy: Alloy | undefined,
  chosen: FeederSize,
  volume: number,
  beta: number,
  caineMm3: number | undefined,
): Finding[] {
  const findings: Finding[] = [];
  if (alloy && isIron(alloy)) {
    findings.push({
      code: 'iron-feeds-itself',
      severity: 'note',
      message: 'Graphite expansion feeds iron: with a hard mould it often needs little feeder or none.',
    });
  }
  if (alloy?.family === 'aluminium') {
    findings.push({
      code: 'big-head-draws',
      severity: 'note',
      message:
        'With aluminium a big head over the runner draws metal out of the casting: keep basin small and feed apart.',
    });
  }
  if (alloy && (alloy.freezingClass === 'long' || alloy.family === 'tin bronze')) {
    findings.push({
      code: 'long-freezing-range',
      severity: 'warning',
      message: `${alloy.name} freezes over a long range; a feeder helps only near by, and scattered porosity must be expected.`,
      remedy: 'Fill quietly, spread the gates, chill heavy parts.',
    });
  }
  if (chosen.volumeMm3 > volume) {
    findings.push({
      code: 'feeder-bigger-than-casting',
      severity: 'warning',
      message: 'The feeder is bigger than the casting it feeds; the yield is under one half before gating.',
      remedy: 'Insulate the feeder, chill the casting, or split the heavy part.',
    });
  }
  if (beta > 0 && chosen.volumeMm3 < 3 * beta * volume) {
    findings.push({
      code: 'feeder-under-old-rule',
      severity: 'note',
      message: 'The feeder holds less than three times the shrinkage, an old check from memory.',
    });
  }
  if (caineMm3 !== undefined && (caineMm3 > 1.5 * chosen.volumeMm3 || caineMm3 < chosen.volumeMm3 / 3)) {
    findings.push({
      code: 'second-opinion-differs',
      severity: 'note',
      message: `Caine's curve, from memory, asks for ${plainNumber(caineMm3 / chosen.volumeMm3, 2)} times this volume.`,
      remedy: 'Where the casting matters, take the larger.',
    });
  }
  return findings;
}
