/** Finds an alloy by what the founder calls it. */
import { nearestNames, OddsideError } from '@oddside/core';
import type { Alloy } from './alloy.js';
import { alloys } from './list.js';

/** Letters and digits only, lower case: `Gun-metal 88/10/2` and `gunmetal 88 10 2` are the same name. */
const plain = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]/g, '');

/** Every name of an alloy: id, common names, standard numbers with and without the name of their system. */
function namesOf(alloy: Alloy): string[] {
  const numbers = alloy.standards.flatMap((number) => [number, number.replace(/^(UNS|SAE|ASTM|EN)[ -]/, '')]);
  return [alloy.id, alloy.name, ...alloy.alsoCalled, ...numbers];
}

/**
 * The alloy with this id, common name or standard number. Case, spaces and punctuation do not matter:
 * `c90500`, `C90500`, `UNS C90500`, `gunmetal` and `88-10-2` are one alloy.
 *
 * @throws OddsideError `unknown-alloy` with the nearest names in the message and in `details.nearest` (ids).
 */
export function findAlloy(name: string): Alloy {
  if (typeof name === 'string' && name.trim() !== '') {
    const wanted = plain(name);
    const found = wanted ? alloys.find((alloy) => namesOf(alloy).some((known) => plain(known) === wanted)) : undefined;
    if (found) return found;
  }
  const owner = new Map(alloys.flatMap((alloy) => namesOf(alloy).map((known) => [known, alloy] as const)));
  const typed = typeof name === 'string' ? name : '';
  const near = nearestNames(typed, [...owner.keys()], 12).map((known) => owner.get(known)!);
  // "aluminium" or "bronze" is a family, not a slip of the pen: its own members come first.
  const kin = plain(typed).length > 2 ? alloys.filter((alloy) => plain(alloy.family).includes(plain(typed))) : [];
  const nearest = [...new Set([...kin.slice(0, 4), ...near])].slice(0, 6);
  throw new OddsideError(
    'unknown-alloy',
    `An alloy's id, common name or standard number was expected, but ${String(JSON.stringify(name)).slice(0, 60)} came. ` +
      `Nearest: ${nearest.map((alloy) => `${alloy.id} (${alloy.name})`).join(', ')}.`,
    { given: name, nearest: nearest.map((alloy) => alloy.id) },
  );
}

/** An alloy from a name, or the alloy itself (such as one from `defineAlloy`). */
export function resolveAlloy(alloy: string | Alloy | undefined): Alloy {
  if (typeof alloy !== 'object' || alloy === null) return findAlloy(alloy as string);
  if (typeof alloy.id === 'string' && Array.isArray(alloy.composition) && alloy.densityKgM3?.value > 0) return alloy;
  throw new OddsideError(
    'unknown-alloy',
    'An alloy was expected, by name or as findAlloy or defineAlloy give it, but another object came.',
    { nearest: [] },
  );
}
