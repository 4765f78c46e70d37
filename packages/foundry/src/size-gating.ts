/** Sizes basin, sprue, well, runner and gates for a given metal and time. */
import {
  checkNumber,
  type Finding,
  OddsideError,
  plainNumber,
  type Ranged,
  resolveOptions,
  type Working,
} from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { notNegative, positive } from './check-option.js';
import { criticalVelocity } from './critical-velocity.js';
import { effectiveHead, type HeadOptions } from './fill-mould.js';
import { type GatingParts, gatingParts } from './gating-parts.js';
import { gatingRatio } from './gating-ratio.js';
import { diameterOf, speedFromHead } from './gravity.js';
import { pouringTime } from './pouring-time.js';
import { HYDRAULICS, seen } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';

/** What `sizeGating` takes; lengths mm. */
export interface GatingOptions extends HeadOptions {
  readonly alloy: string | Alloy;
  /** Metal that passes the choke, kg. */
  readonly massKg: number;
  /** Pouring time, s. Default: by `pouringTime` for this metal, mass and section. */
  readonly timeS?: number;
  /** Governing section, for the pouring time. Default 10. */
  readonly section?: number;
  /** Sprue exit : runner : gates, by area. Default: by alloy. */
  readonly ratio?: readonly [number, number, number];
  /** Share of the ideal flow that passes, 0–1. Default 0.8; 0.4–0.9 is seen. */
  readonly dischargeCoefficient?: number;
  /** Liquid density in place of the alloy's, kg/m³. */
  readonly liquidDensityKgM3?: number;
  /** Depth of metal in the basin above the sprue's top; part of `sprueHeight`. Default 40. */
  readonly basinDepth?: number;
  /** How many gates share the gate area. Default 2. */
  readonly gates?: number;
  /** From the sprue to the last gate, plus its blind end. Default 150. */
  readonly runnerLength?: number;
  /** From the runner to the casting. Default 15. */
  readonly gateLength?: number;
  /** Widen the gates beyond the ratio until the metal enters under the critical velocity. Default: all but iron. */
  readonly widenGates?: boolean;
}

/** The system, sized. Areas mm², lengths mm. */
export interface GatingPlan extends FoundryResult {
  readonly timeS: number;
  readonly head: number;
  readonly flowMm3S: number;
  readonly ratio: readonly [number, number, number];
  /** The choke is the sprue's exit. The range is that of the discharge coefficient and the liquid density. */
  readonly chokeAreaMm2: Ranged;
  readonly chokeDiameter: number;
  readonly sprueTopAreaMm2: number;
  readonly sprueTopDiameter: number;
  readonly runnerAreaMm2: number;
  /** All gates together. */
  readonly gateAreaMm2: number;
  readonly gateAreaEachMm2: number;
  readonly gateVelocityMS: number;
  readonly criticalVelocityMS: number;
  /** Total gate area at which the metal would enter just at the critical velocity. */
  readonly leastGateAreaMm2: number;
  readonly parts: GatingParts;
  /** Basin, sprue, well, runner and gates together. */
  readonly volumeMm3: number;
  readonly massKg: number;
}

export const GATING_DEFAULTS: DefaultsOf<GatingOptions> = Object.freeze({
  alloy: undefined,
  massKg: undefined,
  timeS: undefined,
  section: 10,
  gate: 'parting',
  sprueHeight: undefined,
  cavityHeight: undefined,
  copeCavityHeight: 0,
  ratio: undefined,
  dischargeCoefficient: 0.8,
  liquidDensityKgM3: undefined,
  basinDepth: 40,
  gates: 2,
  runnerLength: 150,
  gateLength: 15,
  widenGates: undefined,
});

const CHOKE = seen('foundry course sheet of useful equations: choke area');

/**
 * Sizes the running system: choke from mass, time and head; sprue top from the narrowing of a falling stream; runner and
 * gates by ratio, the gates then widened where metal would enter above its critical velocity.
 *
 * @throws OddsideError `bad-number`, `bad-option`, `unknown-alloy`.
 */
export function sizeGating(options: GatingOptions): GatingPlan {
  const given = resolveOptions('sizeGating', GATING_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const massKg = positive(given, 'massKg', 'kg');
  const density = checkNumber('liquidDensityKgM3 (kg/m³)', given.liquidDensityKgM3 ?? alloy.liquidDensityKgM3.value, {
    min: 100,
    max: 25000,
  });
  const discharge = positive(given, 'dischargeCoefficient', '0–1', 1);
  const gates = checkNumber('gates', given.gates, { min: 1, max: 100, whole: true });
  const basinDepth = positive(given, 'basinDepth', 'mm');
  const findings: Finding[] = [];
  const workings: Working[] = [];
  const timeS = pourTime(given, alloy, massKg, workings, findings);
  const heads = effectiveHead({
    gate: given.gate,
    sprueHeight: given.sprueHeight!,
    cavityHeight: given.cavityHeight!,
    copeCavityHeight: given.copeCavityHeight,
  });
  workings.push(...heads.workings);
  const sprueHeight = given.sprueHeight!;
  if (basinDepth >= sprueHeight) {
    throw new OddsideError(
      'bad-number',
      `sizeGating: basinDepth (${basinDepth} mm) is part of sprueHeight (${sprueHeight} mm) and must be less than it.`,
    );
  }
  const { head } = heads;
  const choke = (at: number, rho: number): number => (massKg / (rho * timeS * at * speedFromHead(head))) * 1e6;
  const spread = alloy.liquidDensityKgM3;
  const scale = density / spread.value;
  const chokeAreaMm2: Ranged = {
    value: choke(discharge, density),
    low: choke(Math.max(0.9, discharge), spread.high * scale),
    high: choke(Math.min(0.4, discharge), spread.low * scale),
  };
  const ratio = given.ratio ?? gatingRatio(alloy).ratio;
  if (!Array.isArray(ratio) || ratio.length !== 3) {
    throw new OddsideError(
      'bad-option',
      'sizeGating: ratio must be three areas, sprue : runner : gates, such as [1, 2, 4].',
    );
  }
  ratio.forEach((part, i) => checkNumber(`ratio[${i}]`, part, { min: 0, above: true }));
  const share = (i: 1 | 2): number => (chokeAreaMm2.value * ratio[i]) / ratio[0];
  const flowMm3S = (massKg / density / timeS) * 1e9;
  const limit = criticalVelocity({ alloy, liquidDensityKgM3: density });
  const criticalVelocityMS = limit.velocityMS.value;
  const leastGateAreaMm2 = flowMm3S / 1000 / criticalVelocityMS;
  const widen = given.widenGates ?? !gatingRatio(alloy).pressurised;
  const gateAreaMm2 = widen ? Math.max(share(2), leastGateAreaMm2) : share(2);
  const gateVelocityMS = flowMm3S / 1000 / gateAreaMm2;
  findings.push(
    ...gateFindings(share(2), gateAreaMm2, gateVelocityMS, criticalVelocityMS, gatingRatio(alloy).pressurised),
  );
  const sprueTopAreaMm2 = chokeAreaMm2.value * Math.sqrt(sprueHeight / basinDepth);
  const parts = gatingParts({
    chokeAreaMm2: chokeAreaMm2.value,
    sprueTopAreaMm2,
    sprueLength: sprueHeight - basinDepth,
    basinDepth,
    runnerAreaMm2: share(1),
    runnerLength: notNegative(given, 'runnerLength', 'mm'),
    gateAreaMm2,
    gates,
    gateLength: notNegative(given, 'gateLength', 'mm'),
    flowMm3S,
  });
  workings.push(
    working(
      'choke area',
      'A = W / (ρ t C √(2gH))',
      [
        quantity('metal through the choke W', massKg, 'kg'),
        quantity('liquid density ρ', density, 'kg/m³'),
        quantity('time t', timeS, 's'),
        quantity('discharge coefficient C (from memory, 0.7–0.9)', discharge, '1'),
        quantity('head H', head, 'mm'),
      ],
      quantity('choke', chokeAreaMm2.value, 'mm²'),
      CHOKE,
    ),
    working(
      'sprue taper',
      'A_top / A_bottom = √(h_bottom / h_top)',
      [quantity('h_bottom', sprueHeight, 'mm'), quantity('h_top', basinDepth, 'mm')],
      quantity('sprue top', sprueTopAreaMm2, 'mm²'),
      HYDRAULICS,
    ),
    working(
      'runner and gates by ratio',
      `sprue : runner : gates = ${ratio.join(' : ')}`,
      [quantity('choke', chokeAreaMm2.value, 'mm²')],
      quantity('gates', gateAreaMm2, 'mm²'),
      gatingRatio(alloy).reference,
    ),
    ...limit.workings,
    ...parts.workings,
  );
  return {
    timeS,
    head,
    flowMm3S,
    ratio,
    chokeAreaMm2,
    chokeDiameter: diameterOf(chokeAreaMm2.value),
    sprueTopAreaMm2,
    sprueTopDiameter: diameterOf(sprueTopAreaMm2),
    runnerAreaMm2: share(1),
    gateAreaMm2,
    gateAreaEachMm2: gateAreaMm2 / gates,
    gateVelocityMS,
    criticalVelocityMS,
    leastGateAreaMm2,
    parts: parts.parts,
    volumeMm3: parts.volumeMm3,
    massKg: (parts.volumeMm3 * alloy.densityKgM3.value) / 1e9,
    workings,
    findings,
  };
}

function pourTime(
  given: typeof GATING_DEFAULTS,
  alloy: Alloy,
  massKg: number,
  workings: Working[],
  findings: Finding[],
): number {
  if (given.timeS !== undefined) return positive(given, 'timeS', 's');
  const rule = pouringTime({ alloy, massKg, section: given.section, gate: given.gate });
  workings.push(...rule.workings);
  findings.push(...rule.findings);
  return rule.timeS.value;
}

function gateFindings(
  byRatio: number,
  areaMm2: number,
  velocityMS: number,
  criticalMS: number,
  pressurised: boolean,
): Finding[] {
  const at = `${plainNumber(velocityMS, 2)} m/s`;
  if (areaMm2 > byRatio * (1 + 1e-9)) {
    return [
      {
        code: 'gates-widened',
        severity: 'note',
        message: `The gates are ${plainNumber(areaMm2 / byRatio, 2)} times what the ratio gives, so that metal enters at no more than ${plainNumber(criticalMS, 2)} m/s.`,
      },
    ];
  }
  if (velocityMS <= criticalMS * (1 + 1e-9)) return [];
  return [
    {
      code: 'gate-velocity-high',
      severity: pressurised ? 'note' : 'warning',
      message: `Metal enters at ${at}, above the critical ${plainNumber(criticalMS, 2)} m/s: the stream folds its skin in.`,
      remedy: pressurised
        ? 'Usual for iron, whose slag the pressurised system holds back; widen the gates if skins show.'
        : 'Widen the gates, use more of them, or pour more slowly.',
    },
  ];
}
