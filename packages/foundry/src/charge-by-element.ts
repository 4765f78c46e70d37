/** What to weigh in of each element so that the melt comes out right after losses. */
import type { Ranged, Reference } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import { elements, type ElementSymbol } from './alloys/elements.js';
import { lossOf, type LossOverrides } from './melt-loss.js';
import { plus } from './result.js';

/** One element of a charge. */
export interface ChargeLine {
  readonly element: ElementSymbol;
  readonly name: string;
  /** Its share of the melt, 0–1. */
  readonly share: number;
  /** What the melt must hold of it, kg: the charge if nothing were lost. */
  readonly netMassKg: number;
  /** Share of the weighed mass that is lost in melting, 0–1. */
  readonly lossFraction: number;
  /** What to weigh in, kg: `netMassKg / (1 − lossFraction)`. */
  readonly massKg: number;
  /** The same with the ranges of the melt and of the loss. */
  readonly massRangeKg: Ranged;
  /** Where the loss comes from. */
  readonly reference: Reference;
}

/** The charge for a melt, at the alloy's nominal composition. */
export function chargeByElement(
  alloy: Alloy,
  meltMassKg: Ranged,
  overrides: LossOverrides | undefined,
): { charge: ChargeLine[]; chargeMassKg: Ranged } {
  const charge = alloy.composition
    .filter((part) => part.nominal > 0)
    .map((part): ChargeLine => {
      const loss = lossOf(part.element, overrides);
      const netMassKg = meltMassKg.value * part.nominal;
      return {
        element: part.element,
        name: elements[part.element].name,
        share: part.nominal,
        netMassKg,
        lossFraction: loss.value,
        massKg: netMassKg / (1 - loss.value),
        massRangeKg: {
          value: netMassKg / (1 - loss.value),
          low: (meltMassKg.low * part.nominal) / (1 - loss.low),
          high: (meltMassKg.high * part.nominal) / (1 - loss.high),
        },
        reference: loss.reference,
      };
    });
  return { charge, chargeMassKg: plus(...charge.map((row) => row.massRangeKg)) };
}
