/** Who may import whom. */
import { importsOf, packageOf, resolveRelative, type PackageSources, type Source } from './sources.js';

/** What a package may import at run time, and what only as types. */
export interface Arrows {
  readonly values: readonly string[];
  readonly types: readonly string[];
  readonly engines: readonly string[];
}

/** The table of the design: one row a package. `oddside` stands above all and nothing imports it. */
export const ARROWS: Readonly<Record<string, Arrows>> = {
  core: { values: [], types: [], engines: [] },
  pattern: { values: ['core'], types: [], engines: ['three', 'three-mesh-bvh'] },
  parting: { values: ['core', 'pattern'], types: [], engines: ['three-mesh-bvh', 'three'] },
  solids: { values: ['core', 'pattern', 'parting'], types: [], engines: ['manifold-3d'] },
  foundry: { values: ['core'], types: [], engines: [] },
  card: { values: ['core'], types: ['pattern', 'parting', 'solids', 'foundry'], engines: ['three'] },
  oddside: { values: ['core', 'pattern', 'parting', 'solids', 'foundry', 'card'], types: [], engines: [] },
};

const ENGINES: ReadonlySet<string> = new Set(['three', 'three-mesh-bvh', 'manifold-3d']);
const folderOf = (name: string): string => name.replace('@oddside/', '');
const isOurs = (name: string): boolean => name === 'oddside' || name.startsWith('@oddside/');

/** Imports against the arrows, imports of what the manifest does not name, and imports by a wrong road. */
export function brokenArrows({ folder, manifest, sources }: PackageSources): string[] {
  const arrows = ARROWS[folder];
  if (!arrows) return [`packages/${folder} has no row in the table of arrows`];
  const named = ['dependencies', 'peerDependencies', 'optionalDependencies'].flatMap((kind) =>
    Object.keys((manifest[kind] ?? {}) as object),
  );
  const wrong: string[] = [];
  for (const source of sources) {
    for (const { from, typeOnly, line } of importsOf(source)) {
      const say = (what: string): void => void wrong.push(`${source.file}:${line} ${what} "${from}"`);
      if (from.startsWith('.')) {
        if (!from.endsWith('.js')) say('a relative import ends in .js, not');
        const target = resolveRelative(source.file, from);
        if (target === `packages/${folder}/src/index.ts`) say('imports its own index instead of the file itself');
        else if (!target.startsWith(`packages/${folder}/src/`)) say('reaches out of its package with');
        continue;
      }
      if (from.startsWith('node:')) continue;
      const name = packageOf(from);
      if (name === manifest.name) say('imports its own package by name');
      else if (!named.includes(name)) say('its package.json does not name');
      if (isOurs(name) && !arrows.values.includes(folderOf(name))) {
        if (!arrows.types.includes(folderOf(name))) say('may not import');
        else if (!typeOnly) say('may import only types from');
      }
      if (ENGINES.has(name) && !arrows.engines.includes(name)) say('may not use the engine');
    }
  }
  for (const name of named.filter(isOurs)) {
    if (![...arrows.values, ...arrows.types].includes(folderOf(name))) {
      wrong.push(`packages/${folder}/package.json may not depend on ${name}`);
    }
  }
  return wrong;
}

/** The first ring of files that import each other at run time, or an empty list. */
export function importRing(sources: readonly Source[]): string[] {
  const next = new Map(
    sources.map((source) => [
      source.file,
      importsOf(source)
        .filter(({ from, typeOnly }) => from.startsWith('.') && !typeOnly)
        .map(({ from }) => resolveRelative(source.file, from)),
    ]),
  );
  const done = new Set<string>();
  const walk = (file: string, way: readonly string[]): string[] => {
    const at = way.indexOf(file);
    if (at >= 0) return [...way.slice(at), file];
    if (done.has(file)) return [];
    for (const target of next.get(file) ?? []) {
      const ring = walk(target, [...way, file]);
      if (ring.length > 0) return ring;
    }
    done.add(file);
    return [];
  };
  for (const file of next.keys()) {
    const ring = walk(file, []);
    if (ring.length > 0) return ring;
  }
  return [];
}
