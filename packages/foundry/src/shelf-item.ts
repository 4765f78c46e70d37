/** A thing on the shelf that can be melted. */
import type { Composition } from './alloys/mixture-density.js';

/** Scrap and returns are old metal; the rest is new. */
export type ShelfKind = 'ingot' | 'pure metal' | 'master alloy' | 'scrap' | 'returns';

/** Every kind there is. */
export const SHELF_KINDS: readonly ShelfKind[] = Object.freeze([
  'ingot',
  'pure metal',
  'master alloy',
  'scrap',
  'returns',
]);

/** One line of what is on the shelf. */
export interface ShelfItem {
  readonly name: string;
  /** Mass fractions that sum to 1. */
  readonly composition: Composition;
  /** How much there is, kg. Leave out what can be bought as needed. */
  readonly massKg?: number;
  /** In any one currency. Default 0. */
  readonly pricePerKg?: number;
  /** Default: counted as new metal. */
  readonly kind?: ShelfKind;
}
