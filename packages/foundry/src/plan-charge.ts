/** What to take from the shelf so that the melt comes out in composition, at least cost or with least new metal. */
import { checkChoice, checkNumber, type Finding, OddsideError, resolveOptions } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { elements } from './alloys/elements.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { checkComposition } from './alloys/mixture-density.js';
import type { Caution } from './caution.js';
import { BANNER, cautionsFor } from './cautions.js';
import { type ChargeItem, type ChargeProblem, type ElementLimit, solveCharge } from './charge-programme.js';
import { chargingOrder, type ChargingStep, type Deoxidiser, deoxidiserFor } from './charging-order.js';
import { notNegative, positive } from './check-option.js';
import { checkLosses, lossOf, type LossOverrides } from './melt-loss.js';
import { HEAT_BALANCE } from './references.js';
import { SHELF_KINDS, type ShelfItem } from './shelf-item.js';
import { type DefaultsOf, type FoundryResult, quantity, working } from './result.js';
import { misfitFindings, type WeighedCharge, weighCharge } from './weigh-charge.js';

/** What `planCharge` takes. */
export interface ChargeOptions {
  readonly alloy: string | Alloy;
  /** Liquid metal wanted, kg, after losses. */
  readonly meltMassKg: number;
  readonly shelf: readonly ShelfItem[];
  /** Default `least cost`; without prices that is least charge. `least new metal` uses scrap and returns first. */
  readonly goal?: 'least cost' | 'least new metal';
  /** Melt losses in place of the table's, by element. */
  readonly lossFractions?: LossOverrides;
  /** How far inside each limit to stay, as a share of the limit's width, 0–0.4. Default 0.1; dropped where it cannot be kept. */
  readonly marginFraction?: number;
  /** Most of any one element that the alloy does not list, 0–0.05. Default 0.002 (common practice). */
  readonly strayFraction?: number;
}

/** The charge. */
export interface ChargePlan extends FoundryResult, WeighedCharge {
  /** False when no charge from this shelf meets the limits; then the picks are the nearest that can be had. */
  readonly feasible: boolean;
  readonly order: readonly ChargingStep[];
  readonly deoxidiser: Deoxidiser;
  /** What to heed while melting. */
  readonly cautions: readonly Caution[];
  /** To print before the numbers. */
  readonly banner: string;
}

export const CHARGE_DEFAULTS: DefaultsOf<ChargeOptions> = Object.freeze({
  alloy: undefined,
  meltMassKg: undefined,
  shelf: undefined,
  goal: 'least cost',
  lossFractions: undefined,
  marginFraction: 0.1,
  strayFraction: 0.002,
});

/**
 * A linear programme over the shelf. When it has no solution, the nearest charge is returned with `feasible: false` and
 * a finding for every element that stays outside, with how much.
 *
 * @throws OddsideError `unknown-alloy`, `unknown-name` for an element, `bad-number`, `bad-option`.
 */
export function planCharge(options: ChargeOptions): ChargePlan {
  const given = resolveOptions('planCharge', CHARGE_DEFAULTS, options);
  const alloy = resolveAlloy(given.alloy);
  const wantedKg = positive(given, 'meltMassKg', 'kg');
  checkLosses('planCharge', given.lossFractions);
  const shelf = given.shelf ?? [];
  if (!Array.isArray(shelf) || shelf.length === 0) {
    throw new OddsideError('bad-option', 'planCharge: shelf must list at least one thing to melt.');
  }
  checkChoice('planCharge: goal', given.goal, ['least cost', 'least new metal']);
  const names = shelf.map((item) => item?.name);
  const twice = names.find((name, i) => names.indexOf(name) !== i);
  if (twice !== undefined) {
    throw new OddsideError(
      'bad-option',
      `planCharge: two things on the shelf are called "${String(twice)}"; name them apart.`,
    );
  }
  const margin = notNegative(given, 'marginFraction', '0–0.4', 0.4);
  const stray = notNegative(given, 'strayFraction', '0–0.05', 0.05);
  const items = shelf.map((item, i) => readItem(item, i, given.lossFractions, given.goal!, wantedKg));
  const limits = limitsOf(alloy, items, stray);
  const problem: ChargeProblem = { items, limits: inset(limits, margin) };
  const findings: Finding[] = [];
  let amounts = solveCharge(problem);
  if (amounts === undefined && margin > 0) {
    amounts = solveCharge({ items, limits });
    if (amounts !== undefined) {
      findings.push({
        code: 'no-margin',
        severity: 'warning',
        message: 'The composition can only be met right up to its limits; losses a little off the table would miss it.',
        remedy: 'Add a purer metal or a master alloy to the shelf.',
      });
    }
  }
  const feasible = amounts !== undefined;
  const nearest = amounts ?? solveCharge({ items, limits, elastic: true })!;
  const result = weighCharge(items, nearest, limits, wantedKg);
  if (!feasible) findings.push(...misfitFindings(result.misfits, result.shortMassKg, wantedKg));
  return {
    feasible,
    ...result,
    order: chargingOrder(alloy, shelf, result.picks),
    deoxidiser: deoxidiserFor(alloy, result.meltMassKg),
    cautions: cautionsFor(alloy, { steps: ['melting'], massKg: wantedKg }),
    banner: BANNER,
    workings: [
      working(
        `charge by linear programme, ${given.goal}`,
        'least Σ price × mass with low ≤ Σ mass × share × (1 − loss) / melt ≤ high for every element',
        [quantity('melt wanted', wantedKg, 'kg'), quantity('things on the shelf', shelf.length, '1')],
        quantity('charge', result.chargeMassKg, 'kg'),
        HEAT_BALANCE,
      ),
      ...result.melt.map((row) =>
        working(
          `balance of ${elements[row.element].name}`,
          'melt = charged − lost',
          [quantity('charged', row.chargedKg, 'kg'), quantity('lost', row.lostKg, 'kg')],
          quantity('in the melt', row.massKg, 'kg'),
          lossOf(row.element, given.lossFractions).reference,
        ),
      ),
    ],
    findings,
  };
}

function readItem(
  item: ShelfItem,
  index: number,
  losses: LossOverrides | undefined,
  goal: string,
  wantedKg: number,
): ChargeItem {
  const what = `shelf[${index}]`;
  if (typeof item !== 'object' || item === null || typeof item.name !== 'string') {
    throw new OddsideError('bad-option', `planCharge: ${what} must be an object with a name and a composition.`);
  }
  if (item.kind !== undefined) checkChoice(`planCharge: ${what}.kind`, item.kind, SHELF_KINDS);
  const shares = checkComposition(`planCharge: ${what} "${item.name.slice(0, 40)}"`, item.composition);
  const price = checkNumber(`${what}.pricePerKg`, item.pricePerKg ?? 0, { min: 0 });
  const most = item.massKg === undefined ? Infinity : checkNumber(`${what}.massKg (kg)`, item.massKg, { min: 0 });
  const old = item.kind === 'scrap' || item.kind === 'returns';
  // Least charge breaks ties, so that free metal is not thrown in for nothing.
  const worth = goal === 'least cost' ? price : old ? 0 : 1;
  return {
    name: item.name,
    kind: item.kind,
    price,
    old,
    shares,
    losses: new Map([...shares.keys()].map((symbol) => [symbol, lossOf(symbol, losses).value])),
    most: most / wantedKg,
    worth,
  };
}

function limitsOf(alloy: Alloy, items: readonly ChargeItem[], stray: number): ElementLimit[] {
  const listed = alloy.composition.map(({ element, low, high }, i) => ({ element, low, high, base: i === 0 }));
  const known = new Set(listed.map(({ element }) => element));
  const extra = new Set(items.flatMap((item) => [...item.shares].filter(([, s]) => s > 0).map(([symbol]) => symbol)));
  return [
    ...listed,
    ...[...extra].filter((e) => !known.has(e)).map((element) => ({ element, low: 0, high: stray, base: false })),
  ];
}

/** Limits drawn in by the margin; a lower limit of nothing stays, and the base metal takes what the others leave. */
const inset = (limits: readonly ElementLimit[], margin: number): ElementLimit[] =>
  limits.map((limit) => {
    if (limit.base) return limit;
    const step = (limit.high - limit.low) * margin;
    return { ...limit, low: limit.low === 0 ? 0 : limit.low + step, high: limit.high - step };
  });
