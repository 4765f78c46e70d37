/** What is known about one alloy. */
import type { Reference } from '@oddside/core';
import type { SourcedRange } from '../result.js';
import type { ElementSymbol } from './elements.js';

/** Alloys that behave alike in the foundry. */
export type AlloyFamily =
  | 'copper'
  | 'tin bronze'
  | 'silicon bronze'
  | 'aluminium bronze'
  | 'manganese bronze'
  | 'yellow brass'
  | 'aluminium'
  | 'zinc'
  | 'grey iron'
  | 'ductile iron'
  | 'steel'
  | 'tin'
  | 'silver';

/** How the alloy freezes: `short` under 50 °C between liquidus and solidus, `medium` to 110 °C, `long` beyond. */
export type FreezingClass = 'short' | 'medium' | 'long';

/** One element of an alloy; shares are mass fractions 0–1. */
export interface AlloyElement {
  readonly element: ElementSymbol;
  /** Least share allowed. */
  readonly low: number;
  /** Greatest share allowed. */
  readonly high: number;
  /** The share to aim at; the nominal shares of an alloy sum to 1. */
  readonly nominal: number;
}

/** One alloy, each figure with its range and its origin. Frozen all the way down. */
export interface Alloy {
  readonly id: string;
  readonly name: string;
  /** Standard numbers, the nearest where the alloy has none of its own. */
  readonly standards: readonly string[];
  /** Other names it is found under. */
  readonly alsoCalled: readonly string[];
  readonly family: AlloyFamily;
  /** The base metal first. */
  readonly composition: readonly AlloyElement[];
  readonly compositionReference: Reference;
  /** Solid at 20 °C, sound metal. */
  readonly densityKgM3: SourcedRange;
  /** At the liquidus; for head pressure, flow and the pot. */
  readonly liquidDensityKgM3: SourcedRange;
  readonly solidusC: SourcedRange;
  readonly liquidusC: SourcedRange;
  readonly freezingClass: FreezingClass;
  /** Pouring temperature for thin or small castings. */
  readonly pouringLightC: SourcedRange;
  /** Pouring temperature for thick castings. */
  readonly pouringHeavyC: SourcedRange;
  /** Free linear contraction as a share of the casting's length (shrink rule). */
  readonly contraction: SourcedRange;
  /** Volume lost on freezing as a share; negative where the metal expands. */
  readonly freezingShrinkage: SourcedRange;
  readonly latentHeatKjKg: SourcedRange;
  /** Solid, from 20 °C up; sheets print the value at 20 °C, the mean to the solidus is 10–20 % higher. */
  readonly solidHeatJKgK: SourcedRange;
  readonly liquidHeatJKgK: SourcedRange;
  /** Thinnest section, mm, that a small green-sand casting can be expected to fill. */
  readonly leastSection: SourcedRange;
  /** What to know before choosing it. */
  readonly notes: readonly string[];
}
