/** The cautions themselves. Wording is our own; figures come from the references beside them. */
import type { Reference } from '@oddside/core';
import type { Alloy } from './alloys/alloy.js';
import type { ElementSymbol } from './alloys/elements.js';
import type { Caution } from './caution.js';
import { ASM, COMMON_PRACTICE, fromMemory, RICHARDS, seen, SHOP_PRACTICE_1 } from './references.js';

/** What a caution's condition can look at. */
export interface CautionJob {
  /** Greatest share of an element that the alloy may hold. */
  readonly share: (symbol: ElementSymbol) => number;
  readonly metal: Alloy;
  readonly massKg: number;
  readonly pouringC: number;
}

/** A caution and the condition under which it holds; without one it always does. */
export interface CautionRow extends Caution {
  readonly applies?: (job: CautionJob) => boolean;
}

const HSE = seen('Health and Safety Executive (UK), molten metals safety topics');
const SHOP_RULES = seen('University of Wisconsin–Milwaukee, metal casting safety rules');
const SCULPTURE_RULES = seen('a university sculpture foundry, shop rules');
const always = 'always' as const;
const line = (
  code: string,
  when: Caution['when'],
  text: string,
  reference: Reference,
  applies?: CautionRow['applies'],
): CautionRow => Object.freeze({ code, when, text, reference, applies });

const copperBase = ({ metal }: CautionJob): boolean => metal.composition[0]!.element === 'Cu';

export const GENERAL_CAUTIONS: readonly CautionRow[] = Object.freeze([
  line(
    'local-codes-first',
    always,
    'Your local codes, fire authority, insurer and licensed practice come before anything printed here.',
    COMMON_PRACTICE,
  ),
  line(
    'protective-clothing',
    always,
    'Face shield over eye protection, gloves, spats over closed boots, thick natural-fibre or leather clothing with no skin showing, nothing synthetic.',
    SHOP_RULES,
  ),
  line(
    'written-assessment',
    always,
    'Write down the hazards of the job and the protection for each before lighting the furnace (in the US: 29 CFR 1910.132).',
    seen('American Foundry Society guide on protective equipment, extract'),
  ),
  line(
    'no-water',
    'melting',
    'Water in or under molten metal explodes. Check scrap, ingot and sand by eye; keep them dry and stored under cover.',
    HSE,
  ),
  line(
    'preheat-everything',
    'melting',
    'Dry and preheat skimmers, ladles, ingot moulds and every piece of metal before it meets the melt; never drop cold or damp metal into a hot pot.',
    seen("university shop rules; Supplement to Spons' Dictionary of Engineering, 1879"),
  ),
  line(
    'ventilation',
    'melting',
    'Melt outdoors or with strong extraction. A burner in a closed room uses up the air and fills it with carbon monoxide.',
    SHOP_RULES,
  ),
  line(
    'gas-supply',
    'melting',
    'Leak-check gas hoses, fit a flame-failure device, and run hoses away from where a spill would travel.',
    COMMON_PRACTICE,
  ),
  line(
    'unknown-scrap',
    'melting',
    'Never melt unknown plated, painted or brazed scrap: cadmium, lead and beryllium are found that way.',
    COMMON_PRACTICE,
  ),
  line(
    'not-over-concrete',
    'pouring',
    'Pour over a bed of dry sand, never over concrete, and never put water on burning or spilled metal.',
    SCULPTURE_RULES,
  ),
  line(
    'fire',
    'pouring',
    'Keep 3 m clear of anything that burns; have dry sand and a class D extinguisher at hand.',
    fromMemory('NFPA practice'),
  ),
  line(
    'load-late',
    'pouring',
    'Put the weights on shortly before pouring and across flask bars: left standing on a mould without bars they crush it.',
    seen('Shop Practice, vol. 2 (early 1900s), typical moulding problems'),
  ),
  line(
    'weigh-the-cope',
    'pouring',
    'Weight or clamp the cope. A mould that floats open lets the metal out at the parting.',
    SHOP_PRACTICE_1,
  ),
  line(
    'mould-gas',
    'pouring',
    'Gas from the vents burns and holds carbon monoxide: light it as it comes, and stand clear of it.',
    RICHARDS,
  ),
  line(
    'plan-the-carry',
    'pouring',
    'Walk the carry empty first and clear the path; two people for pot and metal above about 20 kg.',
    COMMON_PRACTICE,
    ({ massKg }) => massKg > 0 && massKg < 12,
  ),
  line(
    'two-to-lift',
    'pouring',
    'This melt and its pot weigh about 20 kg or more: two people, a ring shank or a hoist, and a rehearsed carry.',
    COMMON_PRACTICE,
    ({ massKg }) => massKg >= 12,
  ),
  line(
    'silica-dust',
    'moulding',
    'Silica dust scars lungs for life. Limits: 0.05 mg/m³ over 8 h (OSHA 1910.1053), 0.1 mg/m³ (UK). Keep sand damp, vacuum with HEPA, never dry-sweep.',
    seen('OSHA 29 CFR 1910.1053 and the UK exposure limit, as reported; HSE on silica in foundries'),
  ),
  line(
    'no-silica-parting',
    'moulding',
    'Part with a non-silica dust (chalk, calcined alumina, graphite, bone ash); never with silica flour. Talc only if certified free of asbestos.',
    seen('Carson & Mumford, Hazardous Chemicals Handbook: UK ban above 3 % silica'),
  ),
  line(
    'hot-mould',
    'shaking out',
    'Metal stays hot enough to burn long after it is dull, and damp sand on it scalds. Wait, then treat every casting as hot.',
    COMMON_PRACTICE,
  ),
  line(
    'knock-out-dust',
    'shaking out',
    'Knocking out, fettling and sieving old sand are the dustiest jobs: respirator and extraction.',
    seen('Health and Safety Executive (UK), silica in foundries'),
  ),
  line(
    'fettling-tools',
    'fettling',
    'Grinding throws hot chips and fine metal dust: face shield, ear protection, extraction; aluminium and magnesium dust can burn.',
    COMMON_PRACTICE,
  ),
] satisfies CautionRow[]);

export const ALLOY_CAUTIONS: readonly CautionRow[] = Object.freeze([
  line(
    'zinc-fume',
    'melting',
    'Zinc boils at 907 °C, below or near pouring heat: white oxide smoke and metal fume fever. Shivering and fever up to 40 °C may come hours later, often in the evening. OSHA limit 5 mg/m³, and people have fallen ill below it. Respirator and extraction.',
    seen('Rambousek, Industrial Poisoning, 1913; AWS fact sheet 25; NTIS study abstract'),
    ({ share, metal }) => share('Zn') >= 0.1 && metal.family !== 'zinc',
  ),
  line(
    'zinc-overheated',
    'melting',
    'Zinc alloys pour far below the boiling point of zinc (907 °C), but an overheated pot smokes white: metal fume fever. Watch the pyrometer.',
    seen('AWS fact sheet 25, metal fume fever'),
    ({ metal }) => metal.family === 'zinc',
  ),
  line(
    'some-zinc',
    'melting',
    'Even a few per cent of zinc smokes at bronze heat; keep out of the white smoke.',
    COMMON_PRACTICE,
    ({ share }) => share('Zn') >= 0.01 && share('Zn') < 0.1,
  ),
  line(
    'no-flaring',
    'melting',
    'Do not flare zinc off to control manganese bronze: it shifts the composition and fills the air.',
    seen('trade notes on manganese bronze'),
    ({ metal }) => metal.family === 'manganese bronze',
  ),
  line(
    'lead',
    'melting',
    'Holds lead: fume and dust poison slowly. Not for food, drink, toys, jewellery or fishing. OSHA 1910.1025: 0.05 mg/m³. Wash before eating, keep work clothes out of the house.',
    fromMemory('OSHA 29 CFR 1910.1025'),
    ({ share }) => share('Pb') >= 0.001,
  ),
  line(
    'beryllium',
    'melting',
    'Holds a trace of beryllium: its dust and fume cause incurable lung disease (OSHA 1910.1024: 0.0002 mg/m³). Extract fume and dross dust; never melt beryllium copper in a small shop.',
    fromMemory('OSHA 29 CFR 1910.1024'),
    ({ share }) => share('Be') > 0,
  ),
  line(
    'magnesium',
    'melting',
    'At this magnesium content the melt drosses heavily, burns when overheated and reacts with damp sand. Dry sand or class D powder only.',
    ASM,
    ({ share }) => share('Mg') >= 0.04,
  ),
  line(
    'copper-fume',
    'melting',
    'Copper fume limit 0.1 mg/m³ (OSHA): a respirator for every copper-base melt.',
    seen('foundry exposure limits, as listed from OSHA; University of Wisconsin–Milwaukee rules'),
    copperBase,
  ),
  line(
    'manganese-fume',
    'melting',
    'Manganese fume harms nerves: ceiling 5 mg/m³ (OSHA).',
    seen('foundry exposure limits, as listed from OSHA'),
    ({ share }) => share('Mn') >= 0.005,
  ),
  line(
    'phosphor-copper',
    'melting',
    "Phosphor copper gives white phosphorus-oxide smoke for some seconds: add it at arm's length, from upwind.",
    COMMON_PRACTICE,
    ({ metal }) => metal.family === 'copper' || metal.family === 'tin bronze',
  ),
  line(
    'thermite',
    'melting',
    'Aluminium with rust, mill scale or copper oxide can burn as thermite does: clean scrap, clean coated tools.',
    COMMON_PRACTICE,
    ({ metal }) => metal.family === 'aluminium',
  ),
  line(
    'beyond-small-furnaces',
    'melting',
    'This pouring heat is beyond ordinary crucibles, linings and hobby burners; it is work for a foundry equipped for it.',
    COMMON_PRACTICE,
    ({ pouringC }) => pouringC > 1450,
  ),
  line(
    'iron-heat',
    'pouring',
    'At iron heat radiant burns come at a distance: aluminised clothing and dark lenses.',
    COMMON_PRACTICE,
    ({ pouringC }) => pouringC > 1250,
  ),
  line(
    'patina',
    'finishing',
    'Liver of sulphur gives off hydrogen sulphide, the more so with acid; copper and iron nitrates, ammonia and chlorides burn and poison. Gloves, extraction, and keep patinated ware from food.',
    seen('a metalsmithing article on the safety of patination'),
    (job) => copperBase(job) || job.metal.family === 'silver',
  ),
] satisfies CautionRow[]);
