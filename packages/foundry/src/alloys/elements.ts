/** The elements that foundry alloys are made of. */
import type { Reference } from '@oddside/core';
import { CRC, seen } from '../references.js';

/** Chemical symbol of an element this package knows. */
export type ElementSymbol =
  'Cu' | 'Sn' | 'Zn' | 'Pb' | 'Al' | 'Si' | 'Fe' | 'Mn' | 'Ni' | 'Mg' | 'P' | 'Ag' | 'Sb' | 'Bi' | 'C' | 'Be' | 'Ti';

/** One element. */
export interface Element {
  readonly symbol: ElementSymbol;
  readonly name: string;
  /** At 20 °C, solid. */
  readonly densityKgM3: number;
  /** `undefined` for carbon, which does not melt in a foundry. */
  readonly meltsC: number | undefined;
  readonly boilsC: number | undefined;
  readonly latentHeatKjKg: number | undefined;
  /** At 20 °C. */
  readonly heatJKgK: number;
  readonly atomicMass: number;
  /** Volume lost on freezing as a share; negative where the element expands. `undefined` where no figure is known. */
  readonly freezingShrinkage: number | undefined;
  readonly reference: Reference;
}

const NOTEBOOK = seen('metal property notebook (density, melting point); rest CRC Handbook from memory');
const CONTACTS = seen('physical properties of metals, contact-materials reference; rest CRC Handbook from memory');

type Row = readonly [
  ElementSymbol,
  string,
  density: number,
  melts: number | undefined,
  boils: number | undefined,
  latent: number | undefined,
  heat: number,
  atomic: number,
  shrinkage: number | undefined,
  Reference,
];

// Antimony: one page prints an expansion of 9.5 %, other books 0.95 %; the larger is taken for a slip of the point.
const ROWS: readonly Row[] = [
  ['Cu', 'copper', 8960, 1084.62, 2562, 205, 385, 63.546, 0.049, NOTEBOOK],
  ['Sn', 'tin', 7287, 231.93, 2602, 60, 227, 118.71, 0.026, CRC],
  ['Zn', 'zinc', 7134, 419.53, 907, 112, 388, 65.38, 0.047, CRC],
  ['Pb', 'lead', 11340, 327.46, 1749, 24, 129, 207.2, 0.035, CONTACTS],
  ['Al', 'aluminium', 2700, 660.32, 2519, 397, 900, 26.982, 0.065, NOTEBOOK],
  ['Si', 'silicon', 2329, 1414, 3265, 1790, 705, 28.085, -0.096, CRC],
  ['Fe', 'iron', 7874, 1538, 2861, 247, 449, 55.845, 0.03, CONTACTS],
  ['Mn', 'manganese', 7430, 1246, 2061, 235, 479, 54.938, 0.017, CONTACTS],
  ['Ni', 'nickel', 8908, 1455, 2913, 298, 444, 58.693, 0.045, CRC],
  ['Mg', 'magnesium', 1738, 650, 1090, 349, 1023, 24.305, 0.041, NOTEBOOK],
  ['P', 'phosphorus', 1820, 44, 281, 20, 769, 30.974, undefined, CRC],
  ['Ag', 'silver', 10490, 961.78, 2162, 105, 235, 107.868, 0.038, CRC],
  ['Sb', 'antimony', 6697, 630.63, 1587, 163, 207, 121.76, -0.0095, CONTACTS],
  ['Bi', 'bismuth', 9780, 271.4, 1564, 54, 122, 208.98, -0.033, CRC],
  ['C', 'carbon', 2260, undefined, undefined, undefined, 709, 12.011, undefined, CRC],
  ['Be', 'beryllium', 1848, 1287, 2469, 877, 1825, 9.012, undefined, CRC],
  ['Ti', 'titanium', 4506, 1668, 3287, 296, 523, 47.867, undefined, CRC],
];

/** Every element by its symbol. Frozen. */
export const elements: Readonly<Record<ElementSymbol, Element>> = Object.freeze(
  Object.fromEntries(
    ROWS.map(([symbol, name, densityKgM3, meltsC, boilsC, latentHeatKjKg, heatJKgK, atomicMass, shrinkage, ref]) => [
      symbol,
      Object.freeze({
        symbol,
        name,
        densityKgM3,
        meltsC,
        boilsC,
        latentHeatKjKg,
        heatJKgK,
        atomicMass,
        freezingShrinkage: shrinkage,
        reference: ref,
      }),
    ]),
  ),
) as Readonly<Record<ElementSymbol, Element>>;
