import { describe, expect, it } from 'vitest';
import { brokenArrows, importRing } from './arrows.js';
import { importsOf, parse, readPackages, type PackageSources } from './sources.js';

const packages = readPackages();

describe.each(packages)('packages/$folder', (each) => {
  it('imports only along the arrows, and only what its manifest names', () => expect(brokenArrows(each)).toEqual([]));
  it('has no ring of imports', () => expect(importRing(each.sources)).toEqual([]));
});

describe('the check itself', () => {
  const made = (folder: string, text: string, dependencies: Record<string, string> = {}): PackageSources => ({
    folder,
    manifest: { name: `@oddside/${folder}`, version: '0.1.0', dependencies },
    sources: [parse(`packages/${folder}/src/a.ts`, text)],
  });

  it.each([
    ['core', `import { x } from '@oddside/pattern';`, 'may not import'],
    ['foundry', `import type { Pattern } from '@oddside/pattern';`, 'may not import'],
    ['pattern', `import { planCasting } from 'oddside';`, 'may not import'],
    ['parting', `const kernel = await import('manifold-3d');`, 'may not use the engine'],
    ['card', `import { alloys } from '@oddside/foundry';`, 'may import only types'],
    ['pattern', `export { y } from './index.js';`, 'its own index'],
    ['pattern', `import { y } from './other';`, 'ends in .js'],
    ['pattern', `import { y } from '../../core/src/units.js';`, 'reaches out'],
    ['pattern', `import { y } from '@oddside/pattern';`, 'its own package by name'],
    ['pattern', `import { y } from 'left-pad';`, 'does not name'],
    ['stove', `export {};`, 'no row'],
  ])('sees in %s: %s', (folder, text, words) => {
    expect(brokenArrows(made(folder, text)).join('\n')).toContain(words);
  });

  it('sees a dependency against the arrows in the manifest', () => {
    expect(brokenArrows(made('foundry', '', { '@oddside/pattern': 'workspace:*' }))).toEqual([
      'packages/foundry/package.json may not depend on @oddside/pattern',
    ]);
  });

  it('lets what is right pass', () => {
    const types = `import type { Alloy } from '@oddside/foundry';\nimport { type Pattern } from '@oddside/pattern';`;
    const named = { '@oddside/foundry': 'workspace:*', '@oddside/pattern': 'workspace:*' };
    expect(brokenArrows(made('card', types, named))).toEqual([]);
  });

  it('finds a ring at run time, and none where one side imports only types', () => {
    const a = parse('packages/core/src/a.ts', `import { b } from './b.js';`);
    const b = parse('packages/core/src/b.ts', `export * from './c.js';`);
    const ring = parse('packages/core/src/c.ts', `import { a } from './a.js';`);
    const types = parse('packages/core/src/c.ts', `import type { A } from './a.js';`);
    expect(importRing([a, b, ring])).toHaveLength(4);
    expect(importRing([a, b, types])).toEqual([]);
  });

  it('tells imports that stay at run time from those that do not', () => {
    const source = parse(
      'packages/core/src/a.ts',
      `import type { A } from 'a';
       import { type B } from 'b';
       import { type C, c } from 'c';
       import 'd';
       type E = import('e').E;
       const f = import('f');
       export type { G } from 'g';`,
    );
    expect(importsOf(source).map(({ from, typeOnly, line }) => `${line}${from}${typeOnly ? ' type' : ''}`)).toEqual([
      '1a type',
      '2b type',
      '3c',
      '4d',
      '5e type',
      '6f',
      '7g type',
    ]);
  });
});

it('the packages were found at all', () => {
  expect(packages.map((each) => each.folder)).toEqual(
    expect.arrayContaining(['card', 'core', 'foundry', 'oddside', 'parting', 'pattern']),
  );
  for (const { sources } of packages) expect(sources.length).toBeGreaterThan(0);
});
