/** What a solved charge weighs, element by element, and where it misses its limits. */
import { type Finding, formatMass, formatShare } from '@oddside/core';
import { type ElementSymbol, elements } from './alloys/elements.js';
import type { ChargeItem, ElementLimit } from './charge-programme.js';
import type { ShelfItem } from './shelf-item.js';

/** What to take of one thing on the shelf. */
export interface ChargePick {
  readonly name: string;
  readonly kind: ShelfItem['kind'];
  readonly massKg: number;
  readonly cost: number;
}

/** One element of the melt. */
export interface MeltElement {
  readonly element: ElementSymbol;
  /** What was weighed in, kg, what was lost, and what is in the melt. */
  readonly chargedKg: number;
  readonly lostKg: number;
  readonly massKg: number;
  /** Of the melt, 0–1. */
  readonly share: number;
  readonly low: number;
  readonly high: number;
  readonly within: boolean;
}

/** An element that cannot be brought within its limits. */
export interface Misfit {
  readonly element: ElementSymbol;
  readonly side: 'too much' | 'too little';
  /** Beyond the limit: points of share, 0–1, and kg in this melt. */
  readonly byShare: number;
  readonly byMassKg: number;
}

/** The charge in numbers. */
export interface WeighedCharge {
  readonly picks: readonly ChargePick[];
  readonly melt: readonly MeltElement[];
  readonly misfits: readonly Misfit[];
  readonly chargeMassKg: number;
  readonly lossMassKg: number;
  readonly meltMassKg: number;
  /** Metal wanted that the shelf cannot supply, kg. */
  readonly shortMassKg: number;
  readonly cost: number;
  /** Everything but scrap and returns, kg. */
  readonly newMetalKg: number;
}

/** Amounts below this share of the melt are rounding of the solver, not metal. */
const NOTHING = 1e-9;
/** How far beyond a limit still counts as on it. */
const ON_THE_LIMIT = 1e-7;

/** Turns the solver's amounts into masses, balances and misfits. */
export function weighCharge(
  items: readonly ChargeItem[],
  amounts: readonly number[],
  limits: readonly ElementLimit[],
  wantedKg: number,
): WeighedCharge {
  const masses = amounts.map((amount) => (amount > NOTHING ? amount * wantedKg : 0));
  const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);
  const balance = limits.map(({ element, low, high }) => {
    const charged = sum(items.map((item, i) => masses[i]! * (item.shares.get(element) ?? 0)));
    const lost = sum(
      items.map((item, i) => masses[i]! * (item.shares.get(element) ?? 0) * (item.losses.get(element) ?? 0)),
    );
    return { element, low, high, chargedKg: charged, lostKg: lost, massKg: charged - lost };
  });
  const meltMassKg = sum(balance.map((row) => row.massKg));
  const melt: MeltElement[] = balance.map((row) => {
    const share = meltMassKg > 0 ? row.massKg / meltMassKg : 0;
    const within = share >= row.low - ON_THE_LIMIT && share <= row.high + ON_THE_LIMIT;
    return { ...row, share, within };
  });
  const misfits = melt
    .filter((row) => !row.within)
    .map((row): Misfit => {
      const byShare = row.share > row.high ? row.share - row.high : row.low - row.share;
      return {
        element: row.element,
        side: row.share > row.high ? 'too much' : 'too little',
        byShare,
        byMassKg: byShare * meltMassKg,
      };
    });
  const short = wantedKg - meltMassKg;
  return {
    picks: items
      .map((item, i) => ({ name: item.name, kind: item.kind, massKg: masses[i]!, cost: masses[i]! * item.price }))
      .filter((pick) => pick.massKg > 0),
    melt: melt.filter((row) => row.chargedKg > 0 || row.low > 0),
    misfits,
    chargeMassKg: sum(masses),
    lossMassKg: sum(balance.map((row) => row.lostKg)),
    meltMassKg,
    shortMassKg: short > wantedKg * 1e-6 ? short : 0,
    cost: sum(items.map((item, i) => masses[i]! * item.price)),
    newMetalKg: sum(items.map((item, i) => (item.old ? 0 : masses[i]!))),
  };
}

/** A problem for every element outside its limits and for metal that is missing. */
export function misfitFindings(misfits: readonly Misfit[], shortKg: number, wantedKg: number): Finding[] {
  const findings: Finding[] = misfits.map((misfit) => ({
    code: misfit.side === 'too much' ? 'element-too-high' : 'element-too-low',
    severity: 'problem',
    message: `No charge from this shelf meets the composition: the nearest holds ${misfit.side} ${elements[misfit.element].name}, by ${formatShare(misfit.byShare)} of the melt or ${formatMass(misfit.byMassKg)}.`,
    remedy:
      misfit.side === 'too little'
        ? `Add ${elements[misfit.element].name}, or a master alloy of it, to the shelf.`
        : `Add metal low in ${elements[misfit.element].name} to thin it, or choose an alloy that allows more.`,
  }));
  if (shortKg > 0) {
    findings.push({
      code: 'shelf-too-small',
      severity: 'problem',
      message: `The shelf is short of metal: ${formatMass(shortKg)} of the ${formatMass(wantedKg)} melt cannot be had from it.`,
      remedy: 'Buy metal, or make a smaller casting.',
    });
  }
  return findings;
}
