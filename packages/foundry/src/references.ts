/**
 * Where figures come from, in short form. The status says how far each was checked. The calls are marked pure so that a
 * bundler drops the references that a page does not use.
 */
import { COMMON_PRACTICE, type Reference } from '@oddside/core';

const make =
  (status: Reference['status']) =>
  (source: string): Reference =>
    Object.freeze({ status, source });

/** A figure read in the named source. */
export const seen: (source: string) => Reference = make('seen');
/** A figure believed to stand in the named source; check it there before relying on it. */
export const fromMemory: (source: string) => Reference = make('from memory');
/** A figure computed from stated inputs. */
export const derived: (source: string) => Reference = make('derived');

export { COMMON_PRACTICE };

/** Figures of the copper development associations, as foundries repeat them on their data pages. */
export const cda = (number: string): Reference => seen(`CDA data sheet for ${number}, as a foundry's page repeats it`);
/** An entry of a public materials database. */
export const database = (name: string): Reference => seen(`materials database entry for ${name}`);

export const RICHARDS: Reference = /* @__PURE__ */ seen(
  'J. Richards, The Economy of Workshop Manipulation, 1876, ch. XXII',
);
export const ROHAN: Reference = /* @__PURE__ */ seen(
  "J. V. Rohan, Young Engineer's Guide, 1894, shrinkage of castings",
);
export const HORNER: Reference = /* @__PURE__ */ seen(
  '"Founding", Encyclopædia Britannica, 11th ed., vol. 10, 1910–11',
);
export const HISCOX: Reference = /* @__PURE__ */ seen(
  "G. D. Hiscox (ed.), Henley's Twentieth Century Formulas, 1914, alloys",
);
export const WEST: Reference = /* @__PURE__ */ seen('T. D. West, Metallurgy of Cast Iron, 5th ed., 1902');
export const SHOP_PRACTICE_1: Reference = /* @__PURE__ */ seen('Shop Practice, vol. 1 (early 1900s), moulding work');
export const SHOP_PRACTICE_2: Reference = /* @__PURE__ */ seen(
  'Shop Practice, vol. 2 (early 1900s), moulding and brass work',
);
export const ASM: Reference = /* @__PURE__ */ fromMemory('ASM Handbook vol. 15, Casting');
export const KALPAKJIAN: Reference = /* @__PURE__ */ fromMemory('Kalpakjian, Manufacturing Engineering and Technology');
export const CDA_MEMORY: Reference = /* @__PURE__ */ fromMemory('CDA standards handbook, cast products');
export const SMITHELLS: Reference = /* @__PURE__ */ fromMemory(
  'Smithells Metals Reference Book; Iida & Guthrie, liquid metals',
);
export const CRC: Reference = /* @__PURE__ */ fromMemory('CRC Handbook of Chemistry and Physics');
export const RAO: Reference = /* @__PURE__ */ fromMemory('P. N. Rao, Manufacturing Technology: Foundry');
export const HEAT_BALANCE: Reference = /* @__PURE__ */ derived('heat and mass balance');
export const GEOMETRY: Reference = /* @__PURE__ */ derived('geometry');
export const HYDRAULICS: Reference = /* @__PURE__ */ derived('hydrostatics and the flow of a liquid under a head');
