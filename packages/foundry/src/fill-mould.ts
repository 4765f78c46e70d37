/** How the head drives the metal: effective head, filling time, and the area of a falling stream. */
import { checkChoice, type Finding, OddsideError, type Ranged, resolveOptions } from '@oddside/core';
import { notNegative, positive } from './check-option.js';
import { diameterOf, GRAVITY, speedFromHead } from './gravity.js';
import { HYDRAULICS, seen } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, quantity, working } from './result.js';

/** Where the metal enters: from above, at the parting, or at the bottom of the cavity. */
export type GateKind = 'top' | 'parting' | 'bottom';

const GATES: readonly GateKind[] = ['top', 'parting', 'bottom'];
const COURSE_SHEET = seen('foundry course sheet of useful equations: choke area and three head rules');

/** What `effectiveHead` takes; lengths mm. */
export interface HeadOptions {
  /** Default `parting`. */
  readonly gate?: GateKind;
  /** Metal surface in the basin above the gate. */
  readonly sprueHeight: number;
  /** Height of the whole cavity. */
  readonly cavityHeight: number;
  /** Height of the part of the cavity in the cope; used for `parting`. Default 0. */
  readonly copeCavityHeight?: number;
}

/** The steady head that fills as fast as the real, falling one, by the usual rules. */
export interface HeadResult extends FoundryResult {
  /** mm. */
  readonly head: number;
  /** Speed at the choke without losses, m/s. */
  readonly velocityMS: number;
}

export const HEAD_DEFAULTS: DefaultsOf<HeadOptions> = Object.freeze({
  gate: 'parting',
  sprueHeight: undefined,
  cavityHeight: undefined,
  copeCavityHeight: 0,
});

interface Heads {
  gate: GateKind;
  h: number;
  c: number;
  p: number;
}

function readHeads(caller: string, given: DefaultsOf<HeadOptions>): Heads {
  const gate = checkChoice(`${caller}: gate`, given.gate, GATES);
  const h = positive(given, 'sprueHeight', 'mm');
  const c = notNegative(given, 'cavityHeight', 'mm');
  const p = notNegative(given, 'copeCavityHeight', 'mm', c);
  const above = gate === 'bottom' ? c : gate === 'parting' ? p : 0;
  if (above > h) {
    throw new OddsideError(
      'bad-number',
      `${caller}: the cavity stands ${above} mm above the gate but the metal in the basin only ${h} mm: it cannot fill. ` +
        'Raise the sprue or the basin.',
      { sprueHeight: h, above },
    );
  }
  return { gate, h, c, p };
}

/** The part of the cavity above the gate, which the metal must rise into. */
const risenHeight = ({ gate, c, p }: Heads): number => (gate === 'bottom' ? c : gate === 'parting' ? p : 0);

function ruleHead(heads: Heads): number {
  const { gate, h, c, p } = heads;
  if (gate === 'top' || c === 0) return h;
  return gate === 'bottom' ? h - c / 2 : h - (p * p) / (2 * c);
}

/** Effective head by the three rules: top h, bottom h − c/2, parting h − p²/(2c). */
export function effectiveHead(options: HeadOptions): HeadResult {
  const heads = readHeads('effectiveHead', resolveOptions('effectiveHead', HEAD_DEFAULTS, options));
  const head = ruleHead(heads);
  const rule = { top: 'H = h', bottom: 'H = h − c/2', parting: 'H = h − p²/(2c)' }[heads.gate];
  return {
    head,
    velocityMS: speedFromHead(head),
    workings: [
      working(
        `effective head, ${heads.gate} gate`,
        rule,
        [
          quantity('sprue height h', heads.h, 'mm'),
          quantity('cavity height c', heads.c, 'mm'),
          quantity('cavity in the cope p', heads.p, 'mm'),
        ],
        quantity('head', head, 'mm'),
        COURSE_SHEET,
      ),
    ],
    findings: [],
  };
}

/** What `fillTime` takes. */
export interface FillTimeOptions extends HeadOptions {
  /** Volume of the cavity, mm³. */
  readonly volumeMm3: number;
  /** Area of the choke, mm². */
  readonly chokeAreaMm2: number;
  /** Share of the ideal flow that passes, 0–1. Default 0.8 (0.4–0.9); 1 is the textbook's loss-free flow. */
  readonly dischargeCoefficient?: number;
}

/** Filling time and flow. */
export interface FillTimeResult extends FoundryResult {
  readonly timeS: Ranged;
  /** The same by the effective-head rule: a second opinion, within a few per cent unless the cavity reaches the basin. */
  readonly timeByHeadRuleS: number;
  /** At the start, m/s. */
  readonly velocityMS: number;
  /** At the start, mm³/s. */
  readonly flowMm3S: number;
}

export const FILL_TIME_DEFAULTS: DefaultsOf<FillTimeOptions> = Object.freeze({
  ...HEAD_DEFAULTS,
  volumeMm3: undefined,
  chokeAreaMm2: undefined,
  dischargeCoefficient: 0.8,
});

/**
 * Time to fill a cavity of even plan area through the choke, basin kept full. Exact for a prism: the part below the gate
 * fills at full head, the part above against its own rising level. The range is that of the discharge coefficient.
 */
export function fillTime(options: FillTimeOptions): FillTimeResult {
  const given = resolveOptions('fillTime', FILL_TIME_DEFAULTS, options);
  const heads = readHeads('fillTime', given);
  const volume = positive(given, 'volumeMm3', 'mm³');
  const choke = positive(given, 'chokeAreaMm2', 'mm²');
  const discharge = positive(given, 'dischargeCoefficient', '0–1', 1);
  const { h, c } = heads;
  const risen = risenHeight(heads);
  const velocityMS = speedFromHead(h);
  const ideal = choke * velocityMS * 1000;
  const share = c === 0 ? 0 : risen / c;
  // 2 (√h − √(h − r)) / r written as 2 / (√h + √(h − r)), which does not lose digits when the rise is small.
  const rise = (2 * volume * share) / ((Math.sqrt(h) + Math.sqrt(h - risen)) * choke * Math.sqrt(2 * GRAVITY * 1000));
  const loss = (volume * (1 - share)) / ideal + rise;
  const findings: Finding[] = [];
  if (c > 0 && risen > 0.8 * h) {
    findings.push({
      code: 'little-head-left',
      severity: 'warning',
      message: `The cavity reaches to within ${Math.round(h - risen)} mm of the metal in the basin; the top fills slowly.`,
      remedy: 'Raise the sprue and basin.',
    });
  }
  const timeS: Ranged =
    discharge === 1
      ? exactly(loss)
      : { value: loss / discharge, low: loss / Math.max(0.9, discharge), high: loss / Math.min(0.4, discharge) };
  return {
    timeS,
    timeByHeadRuleS: volume / (choke * speedFromHead(ruleHead(heads)) * 1000 * discharge),
    velocityMS,
    flowMm3S: ideal * discharge,
    workings: [
      working(
        'filling time, level basin',
        't = V_below / (A √(2gh)) + 2 A_m (√h − √(h − h_m)) / (A √(2g)), over the discharge coefficient',
        [
          quantity('volume', volume, 'mm³'),
          quantity('choke', choke, 'mm²'),
          quantity('head h', h, 'mm'),
          quantity('rise above the gate h_m', risen, 'mm'),
          quantity('discharge coefficient', discharge, '1'),
        ],
        quantity('time', timeS.value, 's'),
        HYDRAULICS,
      ),
    ],
    findings,
  };
}

/** What `sprueExitArea` takes. */
export interface SprueExitOptions {
  /** Flow to pass, mm³/s. */
  readonly flowMm3S: number;
  /** Fall from the sprue's top to its exit, mm. */
  readonly drop: number;
  /** Area of the sprue's top, mm². With it the speed at the top counts; without, the metal starts from rest. */
  readonly topAreaMm2?: number;
}

/** Where a falling stream has narrowed to. */
export interface SprueExitResult extends FoundryResult {
  readonly areaMm2: number;
  readonly diameter: number;
  readonly velocityMS: number;
}

export const SPRUE_EXIT_DEFAULTS: DefaultsOf<SprueExitOptions> = Object.freeze({
  flowMm3S: undefined,
  drop: undefined,
  topAreaMm2: undefined,
});

/** Area at the foot of a sprue that a given flow just fills, so that it draws in no air. */
export function sprueExitArea(options: SprueExitOptions): SprueExitResult {
  const given = resolveOptions('sprueExitArea', SPRUE_EXIT_DEFAULTS, options);
  const flow = positive(given, 'flowMm3S', 'mm³/s');
  const drop = positive(given, 'drop', 'mm');
  const top = given.topAreaMm2 === undefined ? Infinity : positive(given, 'topAreaMm2', 'mm²');
  const entry = flow / top / 1000;
  const velocityMS = Math.hypot(entry, speedFromHead(drop));
  const areaMm2 = flow / (velocityMS * 1000);
  return {
    areaMm2,
    diameter: diameterOf(areaMm2),
    velocityMS,
    workings: [
      working(
        'foot of a sprue that runs full',
        'A = Q / √(v₁² + 2gh)',
        [quantity('flow', flow, 'mm³/s'), quantity('fall', drop, 'mm'), quantity('speed at the top', entry, 'm/s')],
        quantity('area', areaMm2, 'mm²'),
        HYDRAULICS,
      ),
    ],
    findings: [],
  };
}
