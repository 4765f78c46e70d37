/** Checks of one number among the options, named once: its name finds it and stands in the message with its unit. */
import { checkNumber, type NumberLimits, OddsideError } from '@oddside/core';

type Holding<Name extends string> = { readonly [Key in Name]?: unknown };

function check<Name extends string>(given: Holding<Name>, name: Name, unit: string, limits: NumberLimits): number {
  return checkNumber(unit ? `${name} (${unit})` : name, given[name], limits);
}

/** A number above 0. */
export function positive<Name extends string>(given: Holding<Name>, name: Name, unit: string, max?: number): number {
  return check(given, name, unit, { min: 0, above: true, max });
}

/** A number of at least 0. */
export function notNegative<Name extends string>(given: Holding<Name>, name: Name, unit: string, max?: number): number {
  return check(given, name, unit, { min: 0, max });
}

/** A number with limits of its own. */
export function between<Name extends string>(
  given: Holding<Name>,
  name: Name,
  unit: string,
  min: number,
  max: number,
): number {
  return check(given, name, unit, { min, max });
}

/** A list of objects; an empty one where none was given. */
export function listOf<T extends object>(what: string, given: readonly T[] | undefined): readonly T[] {
  const list = given ?? [];
  if (Array.isArray(list) && list.every((item) => typeof item === 'object' && item !== null)) return list;
  const came = Array.isArray(list) ? 'one with something else in it' : typeof list;
  throw new OddsideError('bad-option', `${what} must be a list of objects, but ${came} came.`);
}
