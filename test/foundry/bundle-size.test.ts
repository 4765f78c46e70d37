/**
 * How much a browser loads: the package bundled from its sources with the shared core, minified and gzipped; the linear
 * solver behind `planCharge` not counted. What the whole casting job calls stays under 30 kB; everything there is,
 * tables, cautions and all, is larger and held where it stands.
 */
import { createRequire } from 'node:module';
import { readdirSync, readFileSync, realpathSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';

const source = fileURLToPath(new URL('../../packages/foundry/src/', import.meta.url));

interface Bundler {
  rolldown(options: object): Promise<{ generate(options: object): Promise<{ output: [{ code: string }] }> }>;
}

/** The bundler that comes with the test runner. */
async function bundler(): Promise<Bundler> {
  const runner = realpathSync(createRequire(import.meta.url).resolve('vitest/package.json'));
  const vite = createRequire(runner).resolve('vite');
  const path = createRequire(vite).resolve('rolldown');
  return (await import(pathToFileURL(path).href)) as Bundler;
}

async function sizeOf(what: string): Promise<number> {
  const { rolldown } = await bundler();
  const entry = `export ${what} from ${JSON.stringify(join(source, 'index.ts'))};`;
  const bundle = await rolldown({
    input: 'entry',
    external: ['yalps'],
    logLevel: 'silent',
    resolve: { conditionNames: ['@oddside/source', 'import'], extensionAlias: { '.js': ['.ts', '.js'] } },
    plugins: [
      {
        name: 'entry',
        resolveId: (id: string) => (id === 'entry' ? id : null),
        load: (id: string) => (id === 'entry' ? entry : null),
      },
    ],
  });
  const { output } = await bundle.generate({ format: 'es', minify: true });
  return gzipSync(output[0].code, { level: 9 }).length;
}

describe('in a browser', () => {
  it('what the main job calls is under 30 kB', async () => {
    const size = await sizeOf(
      '{ planMetal, planPour, patternFromCasting, castingFromPattern, copeLift, weightCope, sandForFlask, sandMargins }',
    );
    expect(size).toBeLessThan(30_000);
    expect(size).toBeGreaterThan(5_000);
  });

  it('the whole package, tables and cautions in, is under 43 kB', async () => {
    expect(await sizeOf('*')).toBeLessThan(43_000);
  });

  it('needs no engine: nothing but the core and the linear solver is imported, and nothing of Node', () => {
    const files = readdirSync(source, { recursive: true })
      .map(String)
      .filter((name) => name.endsWith('.ts'));
    expect(files.length).toBeGreaterThan(30);
    const imported = files.flatMap((name) =>
      [...readFileSync(join(source, name), 'utf8').matchAll(/from '([^']+)'/g)].map((match) => match[1]!),
    );
    expect([...new Set(imported.filter((name) => !name.startsWith('.')))].sort()).toEqual(['@oddside/core', 'yalps']);
    for (const name of files)
      expect(readFileSync(join(source, name), 'utf8')).not.toMatch(/\b(process|Buffer|require)\b[.(]/);
  });
});
