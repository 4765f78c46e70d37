/** Every alloy, in one frozen list. */
import type { Alloy } from './alloy.js';
import { buildAlloy } from './build-alloy.js';
import { copperAndTinBronzes } from './copper-and-tin-bronzes.js';
import { ironSteelAndWhiteMetals } from './iron-steel-and-white-metals.js';
import { lightAndZincAlloys } from './light-and-zinc-alloys.js';
import { otherCopperAlloys } from './other-copper-alloys.js';

/** The 30 alloys this package knows, each figure with its range and its origin. Frozen; see `findAlloy`. */
export const alloys: readonly Alloy[] = Object.freeze(
  [...copperAndTinBronzes, ...otherCopperAlloys, ...lightAndZincAlloys, ...ironSteelAndWhiteMetals].map(buildAlloy),
);
