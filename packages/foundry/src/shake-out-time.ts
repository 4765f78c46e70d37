/** When a casting may leave the sand. */
import { checkNumber, type Finding, type Ranged, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { notNegative } from './check-option.js';
import { derived } from './references.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';
import { readModulus, solidificationTime } from './solidification-time.js';

/** What `shakeOutTime` takes. */
export interface ShakeOutOptions {
  readonly alloy: string | Alloy;
  /** mm; or give `volumeMm3` and `coolingAreaMm2`. */
  readonly modulus?: number;
  readonly volumeMm3?: number;
  readonly coolingAreaMm2?: number;
  /** Degrees above the liquidus at pouring. Default 100. */
  readonly superheatC?: number;
  /** Temperature at which the sand is broken, °C. Default: a third of the solidus, at most 400. */
  readonly shakeOutC?: number;
}

/** Time from pouring to breaking the mould. */
export interface ShakeOutResult extends FoundryResult {
  readonly timeS: Ranged;
  /** Of that, freezing. */
  readonly freezingTimeS: Ranged;
  readonly shakeOutC: number;
  /** Always false. */
  readonly reliable: boolean;
}

export const SHAKE_OUT_DEFAULTS: DefaultsOf<ShakeOutOptions> = Object.freeze({
  alloy: undefined,
  modulus: undefined,
  volumeMm3: undefined,
  coolingAreaMm2: undefined,
  superheatC: 100,
  shakeOutC: undefined,
});

/** The mould heats up while the casting cools; the simple sum reads short by up to about this factor. */
const READS_SHORT = 3;

/**
 * Heat that the sand must take up grows with the root of time, so cooling to `shakeOutC` takes the freezing time times
 * the square of all heat over freezing heat, divided by the square of how far the mean surface has fallen. The casting's
 * surface cools meanwhile, so this reads short; the range reaches to three times the value.
 */
export function shakeOutTime(options: ShakeOutOptions): ShakeOutResult {
  const given = resolveOptions('shakeOutTime', SHAKE_OUT_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const modulus = readModulus('shakeOutTime', given);
  const superheatC = notNegative(given, 'superheatC', '°C', 600);
  const solidus = alloy.solidusC.value;
  const shakeOutC = checkNumber('shakeOutC (°C)', given.shakeOutC ?? Math.min(400, solidus / 3), {
    min: 20,
    above: true,
    max: solidus,
  });
  const freezing = solidificationTime({ alloy, modulus, superheatC });
  const freezingHeat = alloy.latentHeatKjKg.value * 1000 + alloy.liquidHeatJKgK.value * superheatC;
  const cooling = alloy.solidHeatJKgK.value * (solidus - shakeOutC);
  const ratio = 1 + cooling / freezingHeat;
  const mean = (solidus - 20 + (shakeOutC - 20)) / 2 / (solidus - 20);
  const factor = (ratio / (1 - (1 - mean) * (cooling / (cooling + freezingHeat)))) ** 2;
  const timeS: Ranged = {
    value: freezing.timeS.value * factor,
    low: freezing.timeS.low * ratio ** 2,
    high: freezing.timeS.high * factor * READS_SHORT,
  };
  const findings: Finding[] = [
    ...freezing.findings,
    {
      code: 'shake-out-rough',
      severity: 'note',
      message: 'The time to shake-out is a rough estimate that may read short by a factor of three.',
      remedy: 'Wait longer, and treat the casting as hot whatever the clock says.',
    },
  ];
  return {
    timeS,
    freezingTimeS: freezing.timeS,
    shakeOutC,
    reliable: false,
    workings: [
      ...freezing.workings,
      working(
        'time to shake-out',
        't = t_freeze [(heat to freeze + heat to cool) / heat to freeze]² / (mean drive)²',
        [
          quantity('heat to freeze', freezingHeat / 1000, 'kJ/kg'),
          quantity('heat to cool', cooling / 1000, 'kJ/kg'),
          quantity('shake-out at', shakeOutC, '°C'),
        ],
        quantity('time', timeS.value, 's'),
        derived('heat balance with Chvorinov freezing time; rough'),
      ),
    ],
    findings,
  };
}
