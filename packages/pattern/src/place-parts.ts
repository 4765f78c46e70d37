/** Walks through a tree of parts that use other parts, as 3MF and glTF have it, and counts before it places. */
import { OddsideError } from '@oddside/core';
import { determinant, placeWithin, type Placing } from './collect-triangles.js';

/** A part that may have a mesh of its own and may use others, each placed. */
export interface PlacedPart {
  /** For messages: `object 5`, `node 3 "wheel"`. */
  readonly label: string;
  /** Triangles of its own mesh. */
  readonly triangles: number;
  readonly uses: readonly { readonly part: string; readonly placing: Placing | undefined }[];
}

/** More levels than any assembly has. */
const DEEPEST = 64;
/** Most triangles all uses together may make: a mesh of this size still fits the memory the readers promise. */
const MOST_TRIANGLES = 4e6;
const MOST_USES = 200_000;

/**
 * Calls `place` for every use of a part with a mesh, in the order of the file. Refuses cycles, endless nesting, and
 * doublings of doublings *before* placing anything.
 *
 * @param most The largest mesh in the file; large files may hold more than {@link MOST_TRIANGLES} honestly.
 */
export function placeParts(
  format: string,
  parts: ReadonlyMap<string, PlacedPart>,
  roots: readonly { readonly part: string; readonly placing: Placing | undefined }[],
  most: number,
  place: (part: string, placing: Placing | undefined) => void,
): { flattened: number } {
  const sizes = new Map<string, { triangles: number; uses: number }>();
  const open = new Set<string>();
  const measure = (key: string, depth: number): { triangles: number; uses: number } => {
    const known = sizes.get(key);
    if (known) return known;
    const part = parts.get(key)!;
    if (open.has(key)) throw refuse(`${part.label} contains itself`);
    if (depth > DEEPEST) throw refuse(`its parts are nested more than ${DEEPEST} deep (at ${part.label})`);
    open.add(key);
    let triangles = part.triangles;
    let uses = 1;
    for (const use of part.uses) {
      const inner = measure(use.part, depth + 1);
      triangles += inner.triangles;
      uses += inner.uses;
    }
    open.delete(key);
    sizes.set(key, { triangles, uses });
    return { triangles, uses };
  };
  let triangles = 0;
  let uses = 0;
  for (const root of roots) {
    const size = measure(root.part, 1);
    triangles += size.triangles;
    uses += size.uses;
  }
  const limit = Math.max(MOST_TRIANGLES, most);
  if (triangles > limit) throw refuse(`its parts together make ${triangles} triangles; up to ${limit} are placed`);
  if (uses > MOST_USES) throw refuse(`its parts are used ${uses} times; up to ${MOST_USES} uses are placed`);
  let flattened = 0;
  const walk = (key: string, placing: Placing | undefined): void => {
    const part = parts.get(key)!;
    if (part.triangles > 0) {
      if (placing !== undefined && !(Math.abs(determinant(placing)) > 0)) flattened++;
      else place(key, placing);
    }
    for (const use of part.uses) walk(use.part, placeWithin(placing, use.placing));
  };
  for (const root of roots) walk(root.part, root.placing);
  return { flattened };

  function refuse(what: string): OddsideError {
    return new OddsideError('bad-file', `The ${format} file cannot be read: ${what}.`, { format });
  }
}
