/** The linear programme behind `planCharge`. Everything is per kilogram of melt, so that numbers stay near 1. */
import { type Coefficients, type Constraint, solve } from 'yalps';
import type { ElementSymbol } from './alloys/elements.js';
import type { ShelfKind } from './shelf-item.js';

/** A thing on the shelf, made ready. */
export interface ChargeItem {
  readonly name: string;
  readonly kind: ShelfKind | undefined;
  readonly price: number;
  readonly old: boolean;
  readonly shares: ReadonlyMap<ElementSymbol, number>;
  readonly losses: ReadonlyMap<ElementSymbol, number>;
  /** Most of it, per kilogram of melt. */
  readonly most: number;
  /** What a kilogram of it counts in the goal. */
  readonly worth: number;
}

/** Limits of one element in the melt. */
export interface ElementLimit {
  readonly element: ElementSymbol;
  readonly low: number;
  readonly high: number;
  readonly base: boolean;
}

/** What to solve. `elastic`: limits may be broken at a price, so that there is always an answer. */
export interface ChargeProblem {
  readonly items: readonly ChargeItem[];
  readonly limits: readonly ElementLimit[];
  readonly elastic?: boolean;
}

/** Rows are scaled up so that limits of a few parts in 100,000 stand well above the solver's precision. */
const SCALE = 1000;
/** Breaks ties towards the smaller charge without outweighing any real price. */
const TIE = 1e-6;
/** Missing metal counts more than missing composition, so that the nearest charge still fills the pot. */
const SHORT = 100;

/** Amounts per kilogram of melt, one per item; `undefined` where the limits cannot be met. */
export function solveCharge(problem: ChargeProblem): number[] | undefined {
  const { items, limits, elastic = false } = problem;
  const constraints = new Map<string, Constraint>([['melt', { equal: SCALE }]]);
  for (const { element } of limits) {
    constraints.set(`${element} low`, { min: 0 });
    constraints.set(`${element} high`, { max: 0 });
  }
  const variables = new Map<string, Coefficients>();
  const dearest = Math.max(1, ...items.map((item) => item.worth));
  items.forEach((item, i) => {
    const kept = (symbol: ElementSymbol): number =>
      (item.shares.get(symbol) ?? 0) * (1 - (item.losses.get(symbol) ?? 0)) * SCALE;
    const melt = [...item.shares.keys()].reduce((sum, symbol) => sum + kept(symbol), 0);
    const row: [string, number][] = [
      ['goal', elastic ? TIE * dearest : item.worth + TIE * dearest],
      ['melt', melt],
    ];
    // Shares are held against the metal really in the pot, so that a short melt is judged by its own composition.
    for (const { element, low, high } of limits) {
      row.push([`${element} low`, kept(element) - low * melt], [`${element} high`, kept(element) - high * melt]);
    }
    if (item.most !== Infinity) {
      constraints.set(`most ${i}`, { max: item.most * SCALE });
      row.push([`most ${i}`, SCALE]);
    }
    variables.set(`item ${i}`, row);
  });
  if (elastic) {
    variables.set('short', [
      ['goal', SHORT * dearest],
      ['melt', SCALE],
    ]);
    for (const { element } of limits) {
      variables.set(`${element} under`, [
        ['goal', dearest],
        [`${element} low`, SCALE],
      ]);
      variables.set(`${element} over`, [
        ['goal', dearest],
        [`${element} high`, -SCALE],
      ]);
    }
  }
  const solution = solve(
    { direction: 'minimize', objective: 'goal', constraints, variables },
    { includeZeroVariables: true },
  );
  if (solution.status !== 'optimal') return undefined;
  const found = new Map(solution.variables);
  return items.map((_, i) => Math.max(0, found.get(`item ${i}`) ?? 0));
}
