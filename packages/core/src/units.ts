/**
 * Units. Inside Oddside every length is a bare number of millimetres, every mass kilograms, every temperature degrees
 * Celsius. The converters here are named after what the caller has in hand, so that a script reads as a bench note:
 * `inches(3.5)`, `pounds(13)`, `fahrenheit(2000)`.
 */
import { OddsideError } from './error.js';
import { nearestNames } from './nearest-names.js';

/** Names of the length units a pattern file may be in. */
export type LengthUnit = 'mm' | 'cm' | 'm' | 'inch' | 'foot' | 'micron';

/** Millimetres in one of each length unit. Exact by definition (1 inch = 25.4 mm). */
export const MM_PER_UNIT: Readonly<Record<LengthUnit, number>> = /* @__PURE__ */ Object.freeze({
  mm: 1,
  cm: 10,
  m: 1000,
  inch: 25.4,
  foot: 304.8,
  micron: 0.001,
});

const SPOKEN: Readonly<Record<string, LengthUnit>> = /* @__PURE__ */ Object.freeze({
  millimetre: 'mm',
  millimeter: 'mm',
  millimetres: 'mm',
  millimeters: 'mm',
  centimetre: 'cm',
  centimeter: 'cm',
  metre: 'm',
  meter: 'm',
  metres: 'm',
  meters: 'm',
  in: 'inch',
  inches: 'inch',
  '"': 'inch',
  ft: 'foot',
  feet: 'foot',
  um: 'micron',
  micrometre: 'micron',
  micrometer: 'micron',
});

/**
 * Turns what a person typed ('in', 'Inches', 'mm') into the unit's one name.
 *
 * @throws OddsideError `unknown-unit` with the names that are known.
 */
export function lengthUnit(name: string): LengthUnit {
  const key = String(name).trim().toLowerCase();
  if (Object.hasOwn(MM_PER_UNIT, key)) return key as LengthUnit;
  if (Object.hasOwn(SPOKEN, key)) return SPOKEN[key]!;
  const known = Object.keys(MM_PER_UNIT);
  throw new OddsideError(
    'unknown-unit',
    `A length unit was expected (${known.join(', ')}), but "${name}" came. Did you mean ${nearestNames(name, known, 1)[0]}?`,
    { given: name, known },
  );
}

/** Millimetres from inches. Exact: 1 in = 25.4 mm. */
export const inches = (value: number): number => value * 25.4;
/** Millimetres from feet. Exact: 1 ft = 304.8 mm. */
export const feet = (value: number): number => value * 304.8;
/** Millimetres from centimetres. */
export const centimetres = (value: number): number => value * 10;
/** Millimetres from metres. */
export const metres = (value: number): number => value * 1000;
/** Kilograms from pounds avoirdupois. Exact: 1 lb = 0.45359237 kg. */
export const pounds = (value: number): number => value * 0.45359237;
/** Kilograms from grams. */
export const grams = (value: number): number => value / 1000;
/** Degrees Celsius from degrees Fahrenheit. */
export const fahrenheit = (value: number): number => (value - 32) / 1.8;
/** Cubic millimetres from cubic inches. */
export const cubicInches = (value: number): number => value * 16387.064;
/** Cubic millimetres from cubic centimetres. */
export const cubicCentimetres = (value: number): number => value * 1000;
/** Cubic millimetres from litres. */
export const litres = (value: number): number => value * 1e6;

/** Pounds from kilograms, for showing a result to someone who weighs in pounds. */
export const asPounds = (massKg: number): number => massKg / 0.45359237;
/** Inches from millimetres. */
export const asInches = (length: number): number => length / 25.4;
/** Degrees Fahrenheit from degrees Celsius. */
export const asFahrenheit = (temperatureC: number): number => temperatureC * 1.8 + 32;

/** Radians from degrees. Angles are degrees in every option and result and radians inside. */
export const radians = (degrees: number): number => (degrees * Math.PI) / 180;
/** Degrees from radians. */
export const degrees = (angle: number): number => (angle * 180) / Math.PI;
