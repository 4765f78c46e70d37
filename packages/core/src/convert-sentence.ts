/**
 * Our sentences are written in metric units, so that a job's data reads the same everywhere. Whoever shows one to a person
 * who works in inches and pounds lets it through here.
 */
import type { UnitSystem } from './format.js';
import { plainNumber } from './format.js';
import { asFahrenheit } from './units.js';

/** One metric unit in the other system: by a factor, or for temperatures by the scale. */
interface Conversion {
  readonly unit: string;
  readonly factor: number;
  /** The unit for what would be less than one of the larger. */
  readonly small?: { readonly unit: string; readonly factor: number };
}

const INCH = 1 / 25.4;
const POUND = 1 / 0.45359237;
const CONVERSIONS: Readonly<Record<string, Conversion>> = Object.freeze({
  mm: { unit: 'in', factor: INCH },
  cm: { unit: 'in', factor: 10 * INCH },
  m: { unit: 'ft', factor: 1 / 0.3048 },
  'mm²': { unit: 'in²', factor: INCH ** 2 },
  'cm²': { unit: 'in²', factor: 100 * INCH ** 2 },
  'mm³': { unit: 'in³', factor: INCH ** 3 },
  'cm³': { unit: 'in³', factor: 1000 * INCH ** 3 },
  kg: { unit: 'lb', factor: POUND, small: { unit: 'oz', factor: 16 * POUND } },
  g: { unit: 'oz', factor: (16 * POUND) / 1000 },
  N: { unit: 'lbf', factor: POUND / 9.80665 },
});

const NUMBER = String.raw`\d{1,15}(?:\.\d{1,15})?(?:e[+-]?\d{1,3})?`;
// At most four numbers to a unit, so that no text, however long, takes more than linear time.
const NUMBERS = String.raw`(?<numbers>-?${NUMBER}(?:(?: × |–| ± )${NUMBER}){0,3})`;
const UNIT = String.raw`(?<unit>mm[²³]?|cm[²³]?|m|kg|g|N|°C)(?![\p{L}\d/²³])`;
// What already stands in both: the imperial figure in brackets after it.
const ALREADY = String.raw`(?: \((?<already>-?[\d.]+(?:[ ×–±\d.e+-]*) (?:in[²³]?|ft|lb|oz|°F))\))?`;
/** A name in quotes is left alone: it may be a file's. */
const QUANTITY = new RegExp(String.raw`"[^"]*"|(?<![\p{L}\d.,/])${NUMBERS} ${UNIT}${ALREADY}`, 'gu');

/**
 * A metric sentence of ours with its lengths, areas, volumes, masses, forces and temperatures in the units a person
 * reads: `Raise the sprue by 38 mm.` becomes `Raise the sprue by 1.5 in.` or `Raise the sprue by 38 mm (1.5 in).`
 *
 * Numbers keep as many significant digits as they came with, two at least. Names in straight quotes, densities and
 * exposure limits (`0.1 mg/m³`) are left as they are, and so is a sentence for `metric`.
 */
export function convertSentence(sentence: string, system: UnitSystem): string {
  if (system === 'metric') return sentence;
  return sentence.replace(QUANTITY, (whole: string, ...rest: unknown[]) => {
    const { numbers, unit, already } = rest.at(-1) as Record<'numbers' | 'unit' | 'already', string | undefined>;
    if (numbers === undefined || unit === undefined) return whole;
    if (already !== undefined) return system === 'imperial' ? already : whole;
    const imperial = unit === '°C' ? inFahrenheit(numbers) : inImperial(numbers, CONVERSIONS[unit]!);
    return system === 'imperial' ? imperial : `${numbers} ${unit} (${imperial})`;
  });
}

const EACH = new RegExp(NUMBER, 'g');

function inImperial(numbers: string, { unit, factor, small }: Conversion): string {
  const most = Math.max(...[...numbers.matchAll(EACH)].map(([text]) => Number(text)));
  const chosen = small && most * factor < 1 ? small : { unit, factor };
  const said = numbers.replace(EACH, (text) => plainNumber(Number(text) * chosen.factor, digitsOf(text)));
  return `${said} ${chosen.unit}`;
}

/** A single temperature keeps its sign; a spread after `±` is a difference, without the scale's offset. */
function inFahrenheit(numbers: string): string {
  const round = (text: string, value: number): string =>
    text.includes('.') ? plainNumber(value, digitsOf(text)) : String(Math.round(value));
  const [scale, spread] = numbers.split(' ± ');
  const said = scale!.replace(/^-?\d+(?:\.\d+)?|\d+(?:\.\d+)?/g, (text) => round(text, asFahrenheit(Number(text))));
  return `${spread === undefined ? said : `${said} ± ${round(spread, Number(spread) * 1.8)}`} °F`;
}

/** Significant digits of a number as printed, 2–5. Zeros at the end of a long whole number are taken for rounding. */
function digitsOf(text: string): number {
  const plain = text.replace(/e.*$/, '');
  const said = plain.includes('.') ? plain.replace('.', '') : plain.replace(/(?<=\d{3})0+$/, '');
  return Math.min(5, Math.max(2, said.replace(/^0+/, '').length));
}
