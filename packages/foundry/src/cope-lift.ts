/** The force with which metal lifts the cope. */
import { checkNumber, type Finding, OddsideError, type Ranged, resolveOptions, type Working } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { between, listOf, notNegative, positive } from './check-option.js';
import { type Core, liftOfCores } from './core-lift.js';
import { GRAVITY } from './gravity.js';
import { HYDRAULICS, seen } from './references.js';
import { type DefaultsOf, exactly, type FoundryResult, mapRange, plus, quantity, working } from './result.js';

/** A roof of runner, gate or feeder that lies on the metal. */
export interface ChannelRoof {
  /** Plan area, mm². */
  readonly areaMm2: number;
  /** Height of the roof above the parting, mm. Default 0, which is the safe side. */
  readonly roofHeight?: number;
}

/** What `copeLift` takes. */
export interface CopeLiftOptions {
  /** Gives the liquid density. Needed unless `liquidDensityKgM3` is given. */
  readonly alloy?: string | Alloy;
  readonly liquidDensityKgM3?: number;
  /** Level of the metal in the basin above the parting, mm. */
  readonly metalHeight: number;
  /** Shadow of the cavity on the parting, mm²: every place where cope lies over metal. */
  readonly shadowAreaMm2: number;
  /** Volume of the cavity above the parting, under the cope's roof, mm³. With it the lift is exact. */
  readonly copeCavityVolumeMm3?: number;
  /** Volume between the cope's roof and the level of the metal, mm³, for a caller who measured it. Exact too. */
  readonly roofVolumeMm3?: number;
  /** Roofs of runner, gates and feeders in the cope; they lift like the casting. Default none. */
  readonly channels?: readonly ChannelRoof[];
  /** Cores whose prints bear on the cope. Default none. */
  readonly cores?: readonly Core[];
}

/** Forces in N. */
export interface CopeLift extends FoundryResult {
  /** On the roof over the casting. */
  readonly roofN: Ranged;
  /** On the roofs of runner, gates and feeders. */
  readonly channelsN: Ranged;
  /** Through the prints of cores. */
  readonly coresN: Ranged;
  /** All together: what weights and clamps must hold. */
  readonly liftN: Ranged;
  /** The same as a mass, kg. */
  readonly liftKg: Ranged;
  /** Shadow area under full head: never less than the roof's lift. */
  readonly upperBoundN: number;
  /** True where the roof's lift is exact rather than the upper bound. */
  readonly exact: boolean;
}

export const COPE_LIFT_DEFAULTS: DefaultsOf<CopeLiftOptions> = Object.freeze({
  alloy: undefined,
  liquidDensityKgM3: undefined,
  metalHeight: undefined,
  shadowAreaMm2: undefined,
  copeCavityVolumeMm3: undefined,
  roofVolumeMm3: undefined,
  channels: undefined,
  cores: undefined,
});

const BOUND = seen('casting course slides: lift from projected area and head');

/**
 * Lift on the cope: the weight of the liquid that would stand between its roof and the level in the basin, plus what
 * runners, gates and cores add. Exact at rest; the surge of filling is for the factor of safety in `weightCope`.
 *
 * @throws OddsideError `bad-option`, `bad-number`, `unknown-alloy`.
 */
export function copeLift(options: CopeLiftOptions): CopeLift {
  const given = resolveOptions('copeLift', COPE_LIFT_DEFAULTS, options);
  const density = liquidDensity(given);
  const head = positive(given, 'metalHeight', 'mm');
  const area = notNegative(given, 'shadowAreaMm2', 'mm²');
  const bound = area * head;
  const findings: Finding[] = [];
  const { volume, exact } = roofVolume(given, bound, findings);
  const force = (volumeMm3: number): Ranged => mapRange(density, (rho) => volumeMm3 * rho * GRAVITY * 1e-9);
  const channels = listOf('copeLift: channels', given.channels);
  const channelVolume = channels.reduce((sum, roof, i) => {
    const above = checkNumber(`channels[${i}].roofHeight (mm)`, roof.roofHeight ?? 0, { min: 0, max: head });
    return sum + checkNumber(`channels[${i}].areaMm2 (mm²)`, roof.areaMm2, { min: 0 }) * (head - above);
  }, 0);
  const cores = liftOfCores(listOf('copeLift: cores', given.cores), density, head);
  findings.push(...cores.findings);
  if (channels.length === 0) {
    findings.push({
      code: 'channels-not-counted',
      severity: 'note',
      message: 'The roofs of runner, gates and feeders in the cope lift too, and none were given.',
      remedy: 'Give channels, or add some weight for them.',
    });
  }
  // Not knowing the roof, the true lift lies anywhere between nothing and the bound.
  const roofN = exact ? force(volume) : { ...force(bound), low: 0 };
  const channelsN = force(channelVolume);
  const liftN = plus(roofN, channelsN, cores.forceN);
  const workings: Working[] = [
    working(
      exact ? 'lift on the cope from the roof' : 'lift on the cope, upper bound',
      exact ? 'F = ρ g (A H − V_under)' : 'F = ρ g A H',
      [
        quantity('liquid density', density.value, 'kg/m³'),
        quantity('shadow area A', area, 'mm²'),
        quantity('metal above the parting H', head, 'mm'),
        ...(exact ? [quantity('volume between roof and metal level', volume, 'mm³')] : []),
      ],
      quantity('lift', roofN.value, 'N'),
      exact ? HYDRAULICS : BOUND,
    ),
    working(
      'lift on runner, gates and feeders',
      'F = ρ g Σ A (H − roof)',
      [quantity('volume between roofs and metal level', channelVolume, 'mm³')],
      quantity('lift', channelsN.value, 'N'),
      HYDRAULICS,
    ),
    ...cores.workings,
  ];
  return {
    roofN,
    channelsN,
    coresN: cores.forceN,
    liftN,
    liftKg: mapRange(liftN, (newtons) => newtons / GRAVITY),
    upperBoundN: force(bound).value,
    exact,
    workings,
    findings,
  };
}

function liquidDensity(given: typeof COPE_LIFT_DEFAULTS): Ranged {
  if (given.liquidDensityKgM3 !== undefined) {
    return exactly(between(given, 'liquidDensityKgM3', 'kg/m³', 100, 25000));
  }
  if (given.alloy === undefined) {
    throw new OddsideError('bad-option', 'copeLift needs an alloy, or liquidDensityKgM3 in kg/m³.');
  }
  return resolveAlloy(given.alloy).liquidDensityKgM3;
}

function roofVolume(
  given: typeof COPE_LIFT_DEFAULTS,
  bound: number,
  findings: Finding[],
): { volume: number; exact: boolean } {
  if (given.roofVolumeMm3 !== undefined && given.copeCavityVolumeMm3 !== undefined) {
    throw new OddsideError('bad-option', 'copeLift takes roofVolumeMm3 or copeCavityVolumeMm3, not both.');
  }
  const slack = bound * 1e-9;
  if (given.roofVolumeMm3 !== undefined) {
    const volume = notNegative(given, 'roofVolumeMm3', 'mm³, at most shadow × head', bound + slack);
    return { volume, exact: true };
  }
  if (given.copeCavityVolumeMm3 !== undefined) {
    const under = notNegative(given, 'copeCavityVolumeMm3', 'mm³, at most shadow × head', bound + slack);
    return { volume: Math.max(0, bound - under), exact: true };
  }
  findings.push({
    code: 'lift-upper-bound',
    severity: 'note',
    message: 'The lift is the upper bound: shadow area under full head, as if the whole cavity lay in the drag.',
    remedy: 'Give copeCavityVolumeMm3, the volume of the cavity above the parting, for the exact lift.',
  });
  return { volume: bound, exact: false };
}
