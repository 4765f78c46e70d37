/** In what order to charge, and with what to deoxidise. */
import type { Reference } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { type ElementSymbol, elements } from './alloys/elements.js';
import { COMMON_PRACTICE, fromMemory, HISCOX } from './references.js';
import type { ShelfItem } from './shelf-item.js';

/** One step at the furnace. */
export interface ChargingStep {
  readonly text: string;
  /** What goes in, if anything. */
  readonly items: readonly { readonly name: string; readonly massKg: number }[];
  readonly reference: Reference;
}

/** Deoxidiser for the melt. */
export interface Deoxidiser {
  readonly name: string;
  /** kg; 0 where none is used. */
  readonly massKg: number;
  readonly low: number;
  readonly high: number;
  readonly text: string;
  readonly reference: Reference;
}

const PHOSPHOR_COPPER = 0.15;
const PHOSPHORUS: readonly [number, number, number] = [0.0002, 0.0004, 0.0006];

/** 0.02–0.06 % phosphorus as 15 % phosphor copper for copper and tin bronze; the other families need none. */
export function deoxidiserFor(alloy: Alloy, meltMassKg: number): Deoxidiser {
  if (alloy.family === 'copper' || alloy.family === 'tin bronze') {
    const [low, value, high] = PHOSPHORUS.map((share) => (meltMassKg * share) / PHOSPHOR_COPPER) as [
      number,
      number,
      number,
    ];
    return {
      name: 'phosphor copper, 15 % P',
      massKg: value,
      low,
      high,
      text: 'Plunge after skimming, just before pouring; stir once.',
      reference: fromMemory('foundry handbooks: 0.02–0.06 % P; that P leaves the cleanest metal seen in Henley, 1914'),
    };
  }
  const text =
    alloy.family === 'aluminium'
      ? 'None; keep the melt still, do not overheat it, and degas if hydrogen pinholes show.'
      : 'None; the alloy holds elements that take up oxygen themselves.';
  return { name: 'none', massKg: 0, low: 0, high: 0, text, reference: COMMON_PRACTICE };
}

/** The element that makes up most of an item. */
const chiefOf = (item: ShelfItem): ElementSymbol =>
  (Object.entries(item.composition) as [ElementSymbol, number][]).reduce((a, b) => (b[1] > a[1] ? b : a))[0];

/** The order among additions: the volatile last. */
function rankOf(item: ShelfItem, base: ElementSymbol): number {
  const chief = chiefOf(item);
  if (chief === base && item.kind !== 'scrap' && item.kind !== 'returns' && item.kind !== 'master alloy') return 0;
  if (chief === base) return item.kind === 'master alloy' ? 2 : 1;
  const { meltsC, boilsC } = elements[chief];
  const baseMelts = elements[base].meltsC ?? 1500;
  if (boilsC !== undefined && boilsC < baseMelts + 150) return 5;
  return meltsC !== undefined && meltsC < baseMelts ? 4 : 3;
}

const SAID: readonly string[] = [
  'Melt the base metal first, under a cover, in a slightly oxidising flame for copper alloys.',
  'Add scrap and returns, clean and preheated; some old metal with the new helps.',
  'Add master alloys, preheated.',
  'Add the metals that melt higher or dissolve slowly, preheated; stir until gone.',
  'Add the low-melting metals (tin, then lead), preheated; stir, and do not hold.',
  'Push the volatile metal (zinc, magnesium) under at once with tongs; stir and go on without delay.',
];

/** The steps at the furnace for what was picked. */
export function chargingOrder(
  alloy: Alloy,
  shelf: readonly ShelfItem[],
  picks: readonly { readonly name: string; readonly massKg: number }[],
): ChargingStep[] {
  const base = alloy.composition[0]!.element;
  const steps: ChargingStep[] = [
    { text: 'Dry and preheat pot, tools and every piece of metal.', items: [], reference: COMMON_PRACTICE },
  ];
  SAID.forEach((text, rank) => {
    const items = picks.filter(
      (pick) =>
        rankOf(
          shelf.find((item) => item.name === pick.name)!,
          base,
        ) === rank,
    );
    if (items.length > 0) {
      steps.push({ text, items: items.map(({ name, massKg }) => ({ name, massKg })), reference: HISCOX });
    }
  });
  const copper = base === 'Cu';
  steps.push({
    text: copper
      ? 'Skim, deoxidise if called for, read the temperature, pour without delay.'
      : 'Skim, read the temperature, pour without delay.',
    items: [],
    reference: HISCOX,
  });
  return steps;
}
