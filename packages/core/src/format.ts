/** Plain formatting of numbers for people. No locale: a mould card reads the same on every machine. */
import { asFahrenheit, asInches, asPounds } from './units.js';

/** Which units a person reads. */
export type UnitSystem = 'metric' | 'imperial' | 'both';

/**
 * A number with a sensible number of significant digits and no exponent for ordinary sizes: 1234.5 → `1230`,
 * 0.012345 → `0.0123`.
 *
 * @param digits Significant digits. Default 3.
 */
export function plainNumber(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return String(value);
  if (value === 0) return '0';
  const size = Math.abs(value);
  if (size >= 1e9 || size < 1e-6) return value.toExponential(Math.max(0, digits - 1));
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(size)));
  const rounded = Number(value.toPrecision(digits));
  return rounded
    .toFixed(Math.min(decimals, 12))
    .replace(/(\.\d*?)0+$/, '$1')
    .replace(/\.$/, '');
}

const pick = (system: UnitSystem, metric: string, imperial: string): string =>
  system === 'metric' ? metric : system === 'imperial' ? imperial : `${metric} (${imperial})`;

/** A length: `152 mm (5.98 in)`. */
export function formatLength(length: number, system: UnitSystem = 'metric', digits = 3): string {
  return pick(system, `${plainNumber(length, digits)} mm`, `${plainNumber(asInches(length), digits)} in`);
}

/** A mass: `3.63 kg (8 lb)`; grams under 1 kg, ounces under 1 lb. */
export function formatMass(massKg: number, system: UnitSystem = 'metric', digits = 3): string {
  const metric = Math.abs(massKg) < 1 ? `${plainNumber(massKg * 1000, digits)} g` : `${plainNumber(massKg, digits)} kg`;
  const lb = asPounds(massKg);
  const imperial = Math.abs(lb) < 1 ? `${plainNumber(lb * 16, digits)} oz` : `${plainNumber(lb, digits)} lb`;
  return pick(system, metric, imperial);
}

/** A volume: `410 cm³ (25 in³)`; mm³ under 0.1 cm³. */
export function formatVolume(volumeMm3: number, system: UnitSystem = 'metric', digits = 3): string {
  const small = Math.abs(volumeMm3) < 100;
  const metric = small ? `${plainNumber(volumeMm3, digits)} mm³` : `${plainNumber(volumeMm3 / 1000, digits)} cm³`;
  return pick(system, metric, `${plainNumber(volumeMm3 / 16387.064, digits)} in³`);
}

/** A volume and its error in one unit, that of the larger: `0.203 ± 0.031 cm³`. */
export function formatVolumeWithin(
  volumeMm3: number,
  errorMm3: number,
  system: UnitSystem = 'metric',
  digits = 3,
): string {
  const small = Math.max(Math.abs(volumeMm3), Math.abs(errorMm3)) < 100;
  const within = (mm3: number, unit: string): string =>
    `${plainNumber(volumeMm3 / mm3, digits)} ± ${plainNumber(errorMm3 / mm3, 2)} ${unit}`;
  return pick(system, small ? within(1, 'mm³') : within(1000, 'cm³'), within(16387.064, 'in³'));
}

/** An area: `57 cm² (8.8 in²)`; mm² under 1 cm². */
export function formatArea(areaMm2: number, system: UnitSystem = 'metric', digits = 3): string {
  const small = Math.abs(areaMm2) < 100;
  const metric = small ? `${plainNumber(areaMm2, digits)} mm²` : `${plainNumber(areaMm2 / 100, digits)} cm²`;
  return pick(system, metric, `${plainNumber(areaMm2 / 645.16, digits)} in²`);
}

/** A temperature to the nearest 5 degrees, which is finer than a shop pyrometer holds: `1150 °C (2100 °F)`. */
export function formatTemperature(temperatureC: number, system: UnitSystem = 'metric'): string {
  const five = (value: number): number => Math.round(value / 5) * 5;
  return pick(system, `${five(temperatureC)} °C`, `${five(asFahrenheit(temperatureC))} °F`);
}

/** A share: 0.0123 → `1.23 %`. */
export function formatShare(share: number, digits = 3): string {
  return `${plainNumber(share * 100, digits)} %`;
}
