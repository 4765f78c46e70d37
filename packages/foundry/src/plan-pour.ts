/** The whole pour: time, gating, feeder, and the metal for all of it, made to agree. */
import { checkNumber, type Finding, OddsideError, type Ranged, resolveOptions, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { isIron } from './alloys/is-iron.js';
import type { Caution } from './caution.js';
import { notNegative, positive } from './check-option.js';
import type { GateKind } from './fill-mould.js';
import type { LossOverrides } from './melt-loss.js';
import { type MetalPlan, planMetal } from './plan-metal.js';
import { pouringTime } from './pouring-time.js';
import { derived } from './references.js';
import { type DefaultsOf, type FoundryResult, give, quantity, working } from './result.js';
import { type FeederPlan, sizeFeeder } from './size-feeder.js';
import { type GatingPlan, sizeGating } from './size-gating.js';
import { solidificationTime } from './solidification-time.js';

/** What `planPour` takes; lengths mm. */
export interface PourOptions {
  readonly alloy: string | Alloy;
  readonly castingVolumeMm3: number;
  /** Default 0. */
  readonly volumeErrorMm3?: number;
  /** Surface of the casting, mm². With it a feeder is sized, except for iron. */
  readonly castingAreaMm2?: number;
  /** Governing section. Default 10. */
  readonly section?: number;
  /** Where the metal enters. Default `parting`. */
  readonly gate?: GateKind;
  /** Height of the whole cavity. */
  readonly castingHeight: number;
  /** Height of its part above the parting. Default 0, all in the drag. */
  readonly copeCavityHeight?: number;
  /** Depth of the cope; the sprue runs through it. */
  readonly copeDepth: number;
  /** Depth of metal in the basin on top of the cope. Default 40. */
  readonly basinDepth?: number;
  /** Volume of feeders, mm³, in place of a sized one; 0 for none. */
  readonly feederVolumeMm3?: number;
  /** Height over diameter of the sized feeder. Default 1. */
  readonly heightRatio?: number;
  readonly ratio?: readonly [number, number, number];
  /** Default 0.8. */
  readonly dischargeCoefficient?: number;
  /** Default 2. */
  readonly gates?: number;
  /** Default 150. */
  readonly runnerLength?: number;
  /** Default 15. */
  readonly gateLength?: number;
  /** Pouring time, s, in place of the rule's. */
  readonly timeS?: number;
  /** Pouring temperature, °C, for the freezing check. Default: the middle of the light range. */
  readonly pouringC?: number;
  readonly spareFraction?: number;
  readonly lossFractions?: LossOverrides;
  readonly fillFraction?: number;
  readonly crucibleNumber?: number;
  readonly availableMassKg?: number;
}

/** The pour. */
export interface PourPlan extends FoundryResult {
  readonly timeS: Ranged;
  readonly gating: GatingPlan;
  /** `undefined` where none was sized. */
  readonly feeder: FeederPlan | undefined;
  readonly feederVolumeMm3: number;
  /** Everything the mould takes, kg. */
  readonly pouredMassKg: number;
  /** The metal plan for it, yield computed. */
  readonly metal: MetalPlan;
  /** How many rounds until gating and metal agreed. */
  readonly rounds: number;
  /** False if they never did. */
  readonly agreed: boolean;
  readonly cautions: readonly Caution[];
  /** To print before the numbers. */
  readonly banner: string;
}

export const POUR_DEFAULTS: DefaultsOf<PourOptions> = Object.freeze({
  alloy: undefined,
  castingVolumeMm3: undefined,
  volumeErrorMm3: 0,
  castingAreaMm2: undefined,
  section: 10,
  gate: 'parting',
  castingHeight: undefined,
  copeCavityHeight: 0,
  copeDepth: undefined,
  basinDepth: 40,
  feederVolumeMm3: undefined,
  heightRatio: 1,
  ratio: undefined,
  dischargeCoefficient: 0.8,
  gates: 2,
  runnerLength: 150,
  gateLength: 15,
  timeS: undefined,
  pouringC: undefined,
  spareFraction: undefined,
  lossFractions: undefined,
  fillFraction: 0.8,
  crucibleNumber: undefined,
  availableMassKg: undefined,
});

/** Rounds after which the loop gives up; it usually needs about ten. */
const MOST_ROUNDS = 200;
const AGREE = 1e-9;

/**
 * Sizes gating for casting, feeder and gating together, round by round, until the metal poured and the system that
 * carries it agree; then plans the metal for the total.
 *
 * @throws OddsideError `unknown-alloy`, `bad-number`, `bad-option`, `infeasible` from the feeder.
 */
export function planPour(options: PourOptions): PourPlan {
  const given = resolveOptions('planPour', POUR_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const volume = positive(given, 'castingVolumeMm3', 'mm³');
  const copeDepth = positive(given, 'copeDepth', 'mm');
  const basinDepth = positive(given, 'basinDepth', 'mm');
  positive(given, 'section', 'mm');
  if (given.pouringC !== undefined) notNegative(given, 'pouringC', '°C', 3000);
  const castingHeight = positive(given, 'castingHeight', 'mm');
  const copeCavity = notNegative(given, 'copeCavityHeight', 'mm, at most castingHeight', castingHeight);
  if (copeCavity >= copeDepth) {
    throw new OddsideError(
      'bad-number',
      `planPour: the cavity rises ${copeCavity} mm into a cope only ${copeDepth} mm deep.`,
    );
  }
  const feeder = sizedFeeder(given, alloy, volume);
  const feederVolumeMm3 = given.feederVolumeMm3 ?? feeder?.volumeMm3 ?? 0;
  checkNumber('feederVolumeMm3 (mm³)', feederVolumeMm3, { min: 0 });
  // A bottom gate is fed at the foot of the cavity, so the sprue goes down through the drag part as well.
  const drop = given.gate === 'bottom' ? castingHeight - copeCavity : 0;
  const sprueHeight = copeDepth + basinDepth + drop;
  const sized = (massKg: number): GatingPlan =>
    sizeGating({
      alloy,
      massKg,
      timeS: given.timeS,
      section: given.section,
      gate: given.gate,
      sprueHeight,
      cavityHeight: castingHeight,
      copeCavityHeight: copeCavity,
      ratio: given.ratio,
      dischargeCoefficient: given.dischargeCoefficient,
      basinDepth,
      gates: given.gates,
      runnerLength: given.runnerLength,
      gateLength: given.gateLength,
    });
  const density = alloy.densityKgM3.value * 1e-9;
  const fixed = (volume + feederVolumeMm3) * density;
  let pouredMassKg = fixed;
  let gating = sized(pouredMassKg);
  let rounds = 1;
  let agreed = false;
  while (!agreed && rounds < MOST_ROUNDS) {
    const next = fixed + gating.massKg;
    agreed = Math.abs(next - pouredMassKg) <= AGREE * next;
    pouredMassKg = next;
    gating = sized(pouredMassKg);
    rounds += 1;
  }
  const metal = planMetal({
    alloy,
    castingVolumeMm3: volume,
    volumeErrorMm3: given.volumeErrorMm3,
    systemVolumeMm3: give(gating.volumeMm3 + feederVolumeMm3, 0.15),
    spareFraction: given.spareFraction,
    lossFractions: given.lossFractions,
    fillFraction: given.fillFraction,
    crucibleNumber: given.crucibleNumber,
    availableMassKg: given.availableMassKg,
  });
  const timeS =
    given.timeS === undefined
      ? pouringTime({ alloy, massKg: pouredMassKg, section: given.section, gate: given.gate }).timeS
      : give(gating.timeS, 0);
  const findings: Finding[] = [
    ...gating.findings,
    ...(feeder?.findings ?? []),
    ...metal.findings,
    ...pourFindings(given, alloy, timeS, agreed, feeder),
  ];
  const workings: Working[] = [
    ...gating.workings,
    ...(feeder?.workings ?? []),
    working(
      'metal poured, gating and metal made to agree',
      'poured = (casting + feeders + gating for the metal poured) × density',
      [
        quantity('casting', volume, 'mm³'),
        quantity('feeders', feederVolumeMm3, 'mm³'),
        quantity('gating', gating.volumeMm3, 'mm³'),
        quantity('rounds', rounds, '1'),
      ],
      quantity('poured', pouredMassKg, 'kg'),
      derived('repeated until it changes by less than one part in 10⁹'),
    ),
    ...metal.workings,
  ];
  return {
    timeS,
    gating,
    feeder,
    feederVolumeMm3,
    pouredMassKg,
    metal,
    rounds,
    agreed,
    cautions: metal.cautions,
    banner: metal.banner,
    workings,
    findings,
  };
}

function sizedFeeder(given: typeof POUR_DEFAULTS, alloy: Alloy, volume: number): FeederPlan | undefined {
  if (given.feederVolumeMm3 !== undefined || given.castingAreaMm2 === undefined || isIron(alloy)) return undefined;
  return sizeFeeder({
    alloy,
    castingVolumeMm3: volume,
    castingAreaMm2: given.castingAreaMm2,
    heightRatio: given.heightRatio,
  });
}

function pourFindings(
  given: typeof POUR_DEFAULTS,
  alloy: Alloy,
  timeS: Ranged,
  agreed: boolean,
  feeder: FeederPlan | undefined,
): Finding[] {
  const findings: Finding[] = [];
  if (!agreed) {
    findings.push({
      code: 'gating-did-not-settle',
      severity: 'problem',
      message: 'Gating and metal did not come to agree; the numbers of this pour cannot be used.',
      remedy: 'Give a pouring time, or check the heights.',
    });
  }
  if (feeder === undefined && given.feederVolumeMm3 === undefined) {
    const iron = isIron(alloy);
    findings.push({
      code: 'no-feeder-sized',
      severity: iron ? 'note' : 'warning',
      message: iron
        ? 'No feeder was sized: graphite expansion feeds most iron castings in a hard mould.'
        : 'No feeder was sized, because the surface of the casting is not known.',
      remedy: iron ? 'Feed heavy parts all the same.' : 'Give castingAreaMm2, or feederVolumeMm3.',
    });
  }
  const pouringC = given.pouringC ?? alloy.pouringLightC.value;
  const superheatC = Math.max(0, pouringC - alloy.liquidusC.value);
  const freezing = solidificationTime({ alloy, modulus: given.section! / 2, superheatC });
  if (timeS.value > 0.5 * freezing.timeS.value) {
    findings.push({
      code: 'may-freeze-while-filling',
      severity: 'warning',
      message: `A ${given.section} mm section freezes in about ${freezing.timeS.value.toFixed(1)} s (±50 %), and filling takes ${timeS.value.toFixed(1)} s.`,
      remedy: 'Pour hotter or faster, or use more gates.',
    });
  }
  return findings;
}
