/** Density of an alloy from its elements, and how far it is wrong. */
import { checkNumber, OddsideError, type Ranged } from '@oddside/core';
import { nearestNames } from '@oddside/core';
import { type ElementSymbol, elements } from './elements.js';

/** Mass fractions by element, 0–1. */
export type Composition = Readonly<Partial<Record<ElementSymbol, number>>>;

/** Checks a composition and returns its shares, scaled to sum to exactly 1. */
export function checkComposition(caller: string, composition: Composition | undefined): Map<ElementSymbol, number> {
  if (typeof composition !== 'object' || composition === null) {
    throw new OddsideError(
      'bad-option',
      `${caller}: a composition by element was expected, such as { Cu: 0.95, Sn: 0.05 }.`,
    );
  }
  const shares = new Map<ElementSymbol, number>();
  for (const [symbol, share] of Object.entries(composition)) {
    if (!Object.hasOwn(elements, symbol)) {
      const known = Object.keys(elements);
      throw new OddsideError(
        'unknown-name',
        `${caller}: "${symbol}" is no element known here. Did you mean ${nearestNames(symbol, known, 1)[0]}? Known: ${known.join(', ')}.`,
        { given: symbol, known },
      );
    }
    shares.set(symbol as ElementSymbol, checkNumber(`${caller}: share of ${symbol} (0–1)`, share, { min: 0, max: 1 }));
  }
  const total = [...shares.values()].reduce((sum, share) => sum + share, 0);
  if (Math.abs(total - 1) > 0.005) {
    throw new OddsideError(
      'bad-number',
      `${caller}: the shares must sum to 1 (mass fractions, within 0.005), but they sum to ${Number(total.toPrecision(6))}.`,
      { total },
    );
  }
  for (const [symbol, share] of shares) shares.set(symbol, share / total);
  return shares;
}

/** The mixture's density and the error known for alloys of its kind. */
export interface MixtureDensity {
  readonly densityKgM3: Ranged;
  /** In words, what the rule does to this kind of alloy. */
  readonly error: string;
  /** True where the rule is within 1.5 %. */
  readonly reliable: boolean;
}

/**
 * Inverse-density mixing: volumes are taken to add. A mass-weighted mean of densities reads high and is the wrong mean.
 * Against data sheets: copper-tin(-zinc-lead) within 1.5 %; alloys with much silicon, aluminium or zinc in copper read
 * 4–6 % low, because the atoms pack tighter than side by side.
 */
export function mixtureDensity(shares: ReadonlyMap<ElementSymbol, number>): MixtureDensity {
  let specificVolume = 0;
  for (const [symbol, share] of shares) specificVolume += share / elements[symbol].densityKgM3;
  const value = 1 / specificVolume;
  const of = (symbol: ElementSymbol): number => shares.get(symbol) ?? 0;
  const range = (low: number, high: number): Ranged => ({ value, low: value * (1 - low), high: value * (1 + high) });
  if (of('Cu') > 0.4 && (of('Si') > 0.02 || of('Al') > 0.04 || of('Zn') > 0.3)) {
    return {
      densityKgM3: range(0, 0.07),
      error: 'silicon, aluminium and zinc-rich copper alloys read 4–6 % low by mixing',
      reliable: false,
    };
  }
  if (of('Fe') > 0.5) {
    return { densityKgM3: range(0.01, 0.04), error: 'irons read about 3 % low by mixing', reliable: false };
  }
  if (of('Cu') > 0.5 || of('Sn') > 0.5 || of('Zn') > 0.5 || of('Ag') > 0.5) {
    return { densityKgM3: range(0.015, 0.015), error: 'within 1.5 % for this kind of alloy', reliable: true };
  }
  if (of('Al') > 0.5) {
    return { densityKgM3: range(0.005, 0.02), error: 'aluminium alloys read up to 2 % low by mixing', reliable: true };
  }
  return {
    densityKgM3: range(0.05, 0.07),
    error: 'not checked against data sheets for this kind of alloy',
    reliable: false,
  };
}
