/** Second opinions on a feeder, both from memory of the books: Caine's curve and the shape-factor curve for steel. */
import { checkChoice, checkNumber, type Finding, resolveOptions } from '@oddside/core';
import { between, positive } from './check-option.js';
import { fromMemory } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** Metals Caine's curve has constants for. */
export type CaineMetal =
  'steel' | 'aluminium' | 'grey iron' | 'cast iron and brass' | 'aluminium bronze' | 'silicon bronze';

const CONSTANTS: Readonly<Record<CaineMetal, readonly [a: number, b: number, c: number]>> = Object.freeze({
  steel: [0.1, 0.03, 1],
  aluminium: [0.1, 0.06, 1.08],
  'grey iron': [0.33, 0.03, 1],
  'cast iron and brass': [0.04, 0.017, 1],
  'aluminium bronze': [0.24, 0.017, 1],
  'silicon bronze': [0.24, 0.017, 1],
});

const CAINE = fromMemory('Caine constants as in Rao, Manufacturing Technology, and Heine, Principles of Metal Casting');
const SHAPE = fromMemory('Bishop, Myskowski & Pellini, AFS Transactions 1955: shape-factor curve, read to ±0.03');

/** What `feederByCaine` takes. */
export interface CaineOptions {
  readonly metal: CaineMetal;
  readonly castingVolumeMm3: number;
  /** mm. */
  readonly castingModulus: number;
  /** Height over diameter of the feeder. Default 1. */
  readonly heightRatio?: number;
  /** Ends of the feeder that cool. Default 2. */
  readonly coolingEnds?: 1 | 2;
}

/** Smallest cylinder that lies on the sound side of Caine's curve. */
export interface CaineResult extends FoundryResult {
  readonly diameter: number;
  readonly height: number;
  readonly volumeMm3: number;
  /** Freezing ratio (A/V of casting over A/V of feeder). */
  readonly x: number;
  /** Feeder volume over casting volume. */
  readonly y: number;
}

export const CAINE_DEFAULTS: DefaultsOf<CaineOptions> = Object.freeze({
  metal: undefined,
  castingVolumeMm3: undefined,
  castingModulus: undefined,
  heightRatio: 1,
  coolingEnds: 2,
});

/** Volume of a cylinder of diameter D and height h·D. */
export const cylinderVolume = (diameter: number, heightRatio: number): number =>
  (Math.PI / 4) * heightRatio * diameter ** 3;

/** Modulus of that cylinder over its diameter, with one or two ends cooling. */
export const cylinderModulus = (heightRatio: number, coolingEnds: 1 | 2): number =>
  heightRatio / (4 * heightRatio + coolingEnds);

/** Sizes a cylindrical feeder by Caine: sound where X ≥ a/(Y − b) + c. */
export function feederByCaine(options: CaineOptions): CaineResult {
  const given = resolveOptions('feederByCaine', CAINE_DEFAULTS, options);
  const metals = Object.keys(CONSTANTS) as CaineMetal[];
  const constants = CONSTANTS[checkChoice('feederByCaine: metal', given.metal, metals, 'unknown-name')];
  const [a, b, c] = constants;
  const volume = positive(given, 'castingVolumeMm3', 'mm³');
  const modulus = positive(given, 'castingModulus', 'mm');
  const ratio = between(given, 'heightRatio', '', 0.2, 5);
  const shape = cylinderModulus(ratio, checkChoice('coolingEnds', given.coolingEnds, [1, 2]));
  const xOf = (diameter: number): number => (shape * diameter) / modulus;
  const yOf = (diameter: number): number => cylinderVolume(diameter, ratio) / volume;
  const sound = (diameter: number): boolean => yOf(diameter) > b && xOf(diameter) >= a / (yOf(diameter) - b) + c;
  // Both X and Y grow with the diameter, so soundness has one threshold and halving the bracket finds it.
  let low = 0;
  let high = 1;
  while (!sound(high)) high *= 2;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (sound(middle)) high = middle;
    else low = middle;
  }
  return {
    diameter: high,
    height: high * ratio,
    volumeMm3: cylinderVolume(high, ratio),
    x: xOf(high),
    y: yOf(high),
    workings: [
      working(
        `feeder by Caine's curve, ${given.metal}`,
        'X = a/(Y − b) + c',
        [
          quantity('a', a, '1'),
          quantity('b', b, '1'),
          quantity('c', c, '1'),
          quantity('casting modulus', modulus, 'mm'),
        ],
        quantity('diameter', high, 'mm'),
        CAINE,
      ),
    ],
    findings: [],
  };
}

/** What `feederByShapeFactor` takes; mm. */
export interface ShapeFactorOptions {
  readonly length: number;
  readonly width: number;
  readonly thickness: number;
  /** Default: of the block. */
  readonly castingVolumeMm3?: number;
  /** Height over diameter of the feeder. Default 1. */
  readonly heightRatio?: number;
}

/** A feeder for steel by the shape-factor curve. */
export interface ShapeFactorResult extends FoundryResult {
  /** (length + width) / thickness. */
  readonly shapeFactor: number;
  /** Feeder volume over casting volume, read to ±0.03. */
  readonly volumeRatio: number;
  readonly diameter: number;
  readonly height: number;
  readonly volumeMm3: number;
}

export const SHAPE_FACTOR_DEFAULTS: DefaultsOf<ShapeFactorOptions> = Object.freeze({
  length: undefined,
  width: undefined,
  thickness: undefined,
  castingVolumeMm3: undefined,
  heightRatio: 1,
});

const CURVE: readonly (readonly [factor: number, ratio: number])[] = Object.freeze([
  [2, 1],
  [4, 0.75],
  [6, 0.62],
  [8, 0.53],
  [10, 0.47],
  [15, 0.34],
  [20, 0.27],
  [30, 0.21],
]);

/** Sizes a feeder for a steel plate-like casting by its shape factor. Outside 2–30 the curve's end is held and said. */
export function feederByShapeFactor(options: ShapeFactorOptions): ShapeFactorResult {
  const given = resolveOptions('feederByShapeFactor', SHAPE_FACTOR_DEFAULTS, options);
  const l = positive(given, 'length', 'mm');
  const w = positive(given, 'width', 'mm');
  const t = positive(given, 'thickness', 'mm');
  const volume = checkNumber('castingVolumeMm3 (mm³)', given.castingVolumeMm3 ?? l * w * t, { min: 0, above: true });
  const heightRatio = between(given, 'heightRatio', '', 0.2, 5);
  const shapeFactor = (l + w) / t;
  const findings: Finding[] = [];
  const [first, last] = [CURVE[0]!, CURVE[CURVE.length - 1]!];
  if (shapeFactor < first[0] || shapeFactor > last[0]) {
    findings.push({
      code: 'shape-factor-outside-curve',
      severity: 'warning',
      message: `A shape factor of ${shapeFactor.toFixed(1)} is outside the curve's 2–30; its end is used.`,
      remedy: 'Go by modulus and volume.',
    });
  }
  const at = Math.min(Math.max(shapeFactor, first[0]), last[0]);
  const i = Math.max(
    1,
    CURVE.findIndex(([factor]) => factor >= at),
  );
  const [[f0, r0], [f1, r1]] = [CURVE[i - 1]!, CURVE[i]!];
  const volumeRatio = r0 + ((r1 - r0) * (at - f0)) / (f1 - f0);
  const volumeMm3 = volumeRatio * volume;
  const diameter = Math.cbrt((4 * volumeMm3) / (Math.PI * heightRatio));
  return {
    shapeFactor,
    volumeRatio,
    diameter,
    height: diameter * heightRatio,
    volumeMm3,
    workings: [
      working(
        'feeder for steel by shape factor',
        'V_feeder / V_casting from the curve at (L + W) / T',
        [quantity('shape factor', shapeFactor, '1')],
        quantity('volume ratio', volumeRatio, '1'),
        SHAPE,
      ),
    ],
    findings,
  };
}
