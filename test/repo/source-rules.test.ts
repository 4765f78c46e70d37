import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import * as rules from './source-rules.js';
import { importsOf, parse, readPackages, resolveRelative, type PackageSources, type Source } from './sources.js';

const packages = readPackages();
const all = packages.flatMap((each) => each.sources);
/** The command talks to a person; everything else is a library. */
const libraries = all.filter((source) => !source.file.startsWith('packages/oddside/src/command'));
const indexes = all.filter((source) => source.file.endsWith('/src/index.ts'));

/** The files whose declarations a user of the package's main entry sees: those that its declarations lead to. */
function shown({ folder, sources }: PackageSources): Source[] {
  const byFile = new Map(sources.map((source) => [source.file, source]));
  const seen = new Set<string>();
  const follow = (file: string): void => {
    const source = byFile.get(file);
    if (!source || seen.has(file)) return;
    seen.add(file);
    for (const { from } of importsOf(rules.declarationOf(source)))
      if (from.startsWith('.')) follow(resolveRelative(file, from));
  };
  follow(`packages/${folder}/src/index.ts`);
  return sources.filter((source) => seen.has(source.file));
}

/** For each source file, the names its package's entries pass on; `*` where everything is. */
function passedOn({ sources }: PackageSources): Map<string, Set<string>> {
  const names = new Map<string, Set<string>>();
  for (const entry of sources.filter((source) => /\/src\/(index|three)\.ts$/.test(source.file))) {
    for (const node of entry.tree.statements) {
      if (!ts.isExportDeclaration(node) || !node.moduleSpecifier || !ts.isStringLiteral(node.moduleSpecifier)) continue;
      const file = resolveRelative(entry.file, node.moduleSpecifier.text);
      const list = names.get(file) ?? new Set();
      names.set(file, list);
      if (!node.exportClause) list.add('*');
      else if (ts.isNamedExports(node.exportClause))
        for (const { name } of node.exportClause.elements) list.add(name.text);
    }
  }
  return names;
}

describe('every source file', () => {
  it('of a package index only re-exports', () => {
    expect(indexes.length).toBe(packages.length);
    expect(indexes.flatMap(rules.notReExports)).toEqual([]);
  });
  it('has no default export', () => expect(all.flatMap(rules.defaultExports)).toEqual([]));
  it('of a library prints nothing and ends nothing', () => expect(libraries.flatMap(rules.consoleAndExit)).toEqual([]));
  it('keeps no state that can change', () => expect(all.flatMap(rules.mutableState)).toEqual([]));
  it(`has at most ${rules.LONGEST_FILE} lines`, () => expect(all.flatMap(rules.tooLong)).toEqual([]));
  it('is finished, with no check switched off', () => expect(all.flatMap(rules.leftOvers)).toEqual([]));
  it('says the unit in the name of every numeric field that has one', () => {
    const wrong = packages.flatMap((each) => {
      const names = passedOn(each);
      return each.sources.flatMap((source) => {
        const list = names.get(source.file) ?? new Set<string>();
        return rules.bareDimensions(source, (name) => list.has('*') || list.has(name));
      });
    });
    expect(wrong).toEqual([]);
  });
  it('shows no engine’s types, except the one made for that', () => {
    const open = packages.flatMap(shown).filter((source) => source.file !== 'packages/pattern/src/three.ts');
    expect(open.flatMap(rules.engineTypes)).toEqual([]);
  });
});

describe('what a package gives at run time', () => {
  it.each(packages.map((each) => each.manifest.name))('%s: every object it exports is frozen', async (name) => {
    const exported = Object.entries((await import(name)) as Record<string, unknown>);
    const open = exported.filter(([, value]) => typeof value === 'object' && value !== null && !Object.isFrozen(value));
    // A typed array cannot be frozen; none may be exported.
    expect(open.map(([key]) => key)).toEqual([]);
  });
});

describe('the rules themselves', () => {
  const {
    notReExports,
    defaultExports,
    consoleAndExit,
    mutableState,
    tooLong,
    leftOvers,
    engineTypes,
    bareDimensions,
  } = rules;
  const byName = {
    notReExports,
    defaultExports,
    consoleAndExit,
    mutableState,
    tooLong,
    leftOvers,
    engineTypes,
    bareDimensions,
  };
  const source = (text: string): Source => parse('packages/core/src/a.ts', text);

  it.each([
    ['notReExports', `export const x = 1;`],
    ['notReExports', `export type X = number;`],
    ['defaultExports', `export default 3;`],
    ['defaultExports', `export default function f() {}`],
    ['defaultExports', `export { x as default } from './x.js';`],
    ['consoleAndExit', `export function f(): void { console.warn('x'); }`],
    ['consoleAndExit', `process.exit(1);`],
    ['consoleAndExit', `process.stdout.write('x');`],
    ['mutableState', `let count = 0;`],
    ['mutableState', `export var count = 0;`],
    ['mutableState', `const cache = new Map<string, number>();`],
    ['mutableState', `const scratch = new Float64Array(3);`],
    ['mutableState', `export const DEFAULTS = { columns: 3 };`],
    ['mutableState', `export const LIST: string[] = ['a'];`],
    ['mutableState', `export const LIST = ['a'] as string[];`],
    ['tooLong', '\n'.repeat(rules.LONGEST_FILE + 1)],
    ['leftOvers', `// TODO later`],
    ['leftOvers', `throw new Error('Not implemented');`],
    ['leftOvers', `// @ts-ignore`],
    ['engineTypes', `import type { Mesh } from 'three';\nexport function f(mesh: Mesh): void {}`],
    ['engineTypes', `export function f(kernel: import('manifold-3d').Manifold): void {}`],
    ['bareDimensions', `export interface A { readonly castingMass: number }`],
    ['bareDimensions', `export interface A { volume?: number | undefined }`],
    ['bareDimensions', `export interface A { inner: { pourTime: Ranged } }`],
    ['bareDimensions', `export interface A { parts: { meltHeat: number; superheat: number } }`],
    ['bareDimensions', `export type A = { readonly area: Float64Array };`],
  ] as const)('%s sees: %j', (rule, text) => expect(byName[rule](source(text))).toHaveLength(1));

  it.each([
    ['notReExports', `export * from './x.js'; export { y } from './y.js'; export {};`],
    ['consoleAndExit', `export function f(console2: { log(): void }): void { console2.log(); }`],
    ['mutableState', `export const A = Object.freeze({ x: 1 }); export const B = [1, 2] as const;`],
    [
      'mutableState',
      `export const A: Readonly<Record<string, number>> = { x: 1 }; const B: ReadonlySet<string> = new Set();`,
    ],
    ['mutableState', `export function f(): number { let x = 1; x++; return x; }`],
    ['tooLong', '\n'.repeat(rules.LONGEST_FILE)],
    ['engineTypes', `import { Mesh } from 'three';\nexport function f(): void { new Mesh(); }`],
    [
      'bareDimensions',
      `export interface A { massKg: number; volumeMm3: number; mass: Mass; time: string; volumes(): number }`,
    ],
    ['bareDimensions', `export interface A { partsKjKg: { superheat: number; heat: number }; superheat: number }`],
    ['bareDimensions', `export interface PartingWeights { projectedArea: number }`],
    ['bareDimensions', `interface Hidden { mass: number }`],
  ] as const)('%s lets pass: %j', (rule, text) => expect(byName[rule](source(text))).toEqual([]));
});
