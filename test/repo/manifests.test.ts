import { existsSync, readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { filesUnder, readJson, readPackages, root } from './sources.js';

const workspace = readJson('package.json');
const packages = readPackages();

describe.each(packages)('packages/$folder/package.json', ({ folder, manifest }) => {
  it('is ready to be published', () => {
    expect(manifest.name).toBe(folder === 'oddside' ? 'oddside' : `@oddside/${folder}`);
    expect(manifest).toMatchObject({
      version: workspace.version,
      license: 'MIT',
      type: 'module',
      sideEffects: false,
      engines: { node: '>=20' },
      files: expect.arrayContaining(['dist', 'src']),
    });
    expect(manifest.description).toMatch(/\.$/);
    expect(manifest).not.toHaveProperty('private');
  });

  it('exports the source to our own tests first, then types, then code', () => {
    const exported = manifest['exports'] as Record<string, string | Record<string, string>>;
    expect(exported['./package.json']).toBe('./package.json');
    for (const [entry, target] of Object.entries(exported)) {
      if (typeof target === 'string') continue;
      expect(Object.keys(target), entry).toEqual(['@oddside/source', 'types', 'default']);
      const source = target['@oddside/source'];
      expect(existsSync(join(root, 'packages', folder, source)), source).toBe(true);
      expect(target['types']).toBe(source.replace('./src/', './dist/').replace(/\.ts$/, '.d.ts'));
      expect(target['default']).toBe(source.replace('./src/', './dist/').replace(/\.ts$/, '.js'));
    }
  });

  it('takes the other packages from the workspace and everything else at one fixed version', () => {
    for (const [name, version] of Object.entries((manifest['dependencies'] ?? {}) as Record<string, string>)) {
      expect(version, name).toMatch(/oddside/.test(name) ? /^workspace:\*$/ : /^\d+\.\d+\.\d+$/);
    }
  });
});

describe('the other lists of packages', () => {
  const folders = packages.map((each) => each.folder).sort();

  it('the build, the docs and the workspace’s own dependencies name every package', () => {
    const built = readJson('packages/tsconfig.json')['references'] as { path: string }[];
    expect(built.map(({ path }) => path).sort()).toEqual(folders);
    expect([...(readJson('packages/typedoc.json')['entryPoints'] as string[])].sort()).toEqual(folders);
    expect(workspace['devDependencies']).toMatchObject(
      Object.fromEntries(packages.map(({ manifest }) => [manifest.name, 'workspace:*'])),
    );
  });
});

describe('the top level', () => {
  const folders = ['packages', 'examples', 'test', 'bench'];
  const files = [
    'package.json',
    'pnpm-workspace.yaml',
    'pnpm-lock.yaml',
    'tsconfig.base.json',
    'README.md',
    'DEVELOPERS.md',
    'LICENSE',
  ];

  it('holds what the design names and nothing else', () => {
    const found = readdirSync(root).filter((name) => !name.startsWith('.') && name !== 'node_modules');
    expect(found.filter((name) => ![...folders, ...files].includes(name))).toEqual([]);
    expect(found).toEqual(
      expect.arrayContaining(['packages', 'test', 'bench', 'package.json', 'DEVELOPERS.md', 'LICENSE']),
    );
  });

  it('names the package manager at one exact version', () => {
    expect(workspace['packageManager']).toMatch(/^pnpm@\d+\.\d+\.\d+$/);
  });
});

describe('every file', () => {
  const machinePath = /(^|[\s'"`(=:])\/(work|tmp|root|home|Users|mnt)\/|[A-Z]:\\\\?Users/;
  const shared = /shared\/(research|design|patterns|hooks)|\.\.\/shared\b/;
  const text = filesUnder('.').filter((file) =>
    /\.(ts|mjs|js|json|md|html|svg|ya?ml|sh)$|(^|\/)(run|LICENSE)$|\/\.[^/]+$/.test(file),
  );

  it('is free of paths of one machine', () => {
    const wrong = text.flatMap((file) =>
      readFileSync(join(root, file), 'utf8')
        .split('\n')
        .flatMap((line, i) =>
          machinePath.test(line) || shared.test(line) ? [`${file}:${i + 1} ${line.trim().slice(0, 80)}`] : [],
        ),
    );
    expect(text.length).toBeGreaterThan(50);
    expect(wrong).toEqual([]);
  });

  it('would be caught if it had one', () => {
    for (const name of ['work', 'tmp', 'root', 'home']) expect(machinePath.test(`read('/${name}/x.stl')`)).toBe(true);
    expect(machinePath.test('see packages/core/src/work/x.ts and https://example.org/home/')).toBe(false);
    expect(shared.test(['see', 'shared', 'research/x.md'].join('/'))).toBe(true);
    expect(shared.test('edges are shared between faces')).toBe(false);
  });
});
