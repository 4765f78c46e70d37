/** Casting mass over metal melted, as shops report it. */
import type { Reference } from '@oddside/core';
import type { Alloy, AlloyFamily } from './alloys/alloy.js';
import { resolveAlloy } from './alloys/find-alloy.js';
import { fromMemory } from './references.js';
import type { SourcedRange } from './result.js';

const BOOKS: Reference = fromMemory(
  'foundry handbooks, typical casting yield by metal; small one-off work at the low end',
);

const RANGES: Readonly<Record<'copper' | 'aluminium' | 'iron' | 'steel' | 'other', readonly [number, number, number]>> =
  Object.freeze({
    copper: [0.55, 0.45, 0.65],
    aluminium: [0.5, 0.4, 0.6],
    iron: [0.65, 0.6, 0.75],
    steel: [0.5, 0.45, 0.6],
    other: [0.55, 0.45, 0.7],
  });

function groupOf(family: AlloyFamily): keyof typeof RANGES {
  switch (family) {
    case 'aluminium':
      return 'aluminium';
    case 'grey iron':
    case 'ductile iron':
      return 'iron';
    case 'steel':
      return 'steel';
    case 'zinc':
    case 'tin':
    case 'silver':
      return 'other';
    default:
      return 'copper';
  }
}

/** The yield to assume for an alloy when nothing better is known, 0–1. @throws OddsideError `unknown-alloy`. */
export function typicalYield(alloy: string | Alloy): SourcedRange {
  const [value, low, high] = RANGES[groupOf(resolveAlloy(alloy).family)];
  return { value, low, high, reference: BOOKS };
}
