/**
 * How much a browser loads: the package bundled from its sources with the shared core and minified, then compressed as a
 * server does: gzip at level 9, or brotli at 11, which every browser takes. What the whole casting job calls stays under
 * 30 kB of either, and so does every function alone with all it needs, the linear solver of `planCharge` too; the
 * heaviest are asked. Everything there is, 30 alloys with their sources, cautions, workings and findings, is larger and is
 * held where it stands: two fifths of it are words that a founder reads, which no way of writing the code makes shorter.
 */
import { createRequire } from 'node:module';
import { readdirSync, readFileSync, realpathSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { brotliCompressSync, gzipSync } from 'node:zlib';
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

interface Sizes {
  readonly gzip: number;
  readonly brotli: number;
}

async function sizeOf(what: string, external: readonly string[] = ['yalps']): Promise<Sizes> {
  const { rolldown } = await bundler();
  const entry = `export ${what} from ${JSON.stringify(join(source, 'index.ts'))};`;
  const bundle = await rolldown({
    input: 'entry',
    external,
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
  const { code } = output[0];
  return { gzip: gzipSync(code, { level: 9 }).length, brotli: brotliCompressSync(code).length };
}

describe('in a browser', () => {
  it('what the main job calls is under 30 kB', async () => {
    const { gzip, brotli } = await sizeOf(
      '{ planMetal, planPour, patternFromCasting, castingFromPattern, copeLift, weightCope, sandForFlask, sandMargins }',
    );
    expect(gzip).toBeLessThan(29_000);
    expect(brotli).toBeLessThan(25_500);
    expect(brotli).toBeGreaterThan(5_000);
  });

  it.each(['planPour', 'planCharge', 'planMetal', 'sizeGating', 'cautionsFor', 'defineAlloy'])(
    '%s with all it needs, the solver too, is under 24.5 kB gzipped',
    async (name) => {
      const { gzip } = await sizeOf(`{ ${name} }`, []);
      expect(gzip).toBeLessThan(24_500);
      expect(gzip).toBeGreaterThan(5_000);
    },
  );

  it.each([
    ['the whole package but the solver, tables and cautions in,', ['yalps'], 41_500, 36_000],
    ['the whole package with the solver', [], 45_500, 39_500],
  ] as const)('%s is no larger than it was', async (_, external, mostGzip, mostBrotli) => {
    const { gzip, brotli } = await sizeOf('*', external);
    expect(gzip).toBeLessThan(mostGzip);
    expect(brotli).toBeLessThan(mostBrotli);
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
