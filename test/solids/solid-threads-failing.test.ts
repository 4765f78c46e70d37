/** What becomes of solids in threads when the kernel is missing, runs out of memory, or dies; and that programs end. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';

const packages = fileURLToPath(new URL('../../packages', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'oddside-solids-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const real = createRequire(join(packages, 'solids/package.json')).resolve('manifold-3d');

/**
 * A kernel that fails as told: reading a mesh of 12 triangles it runs out of memory, and is of no use afterwards; reading one
 * of 8 its thread ends; one of 16 it reads for ever.
 */
const FAILING = `
import create from ${JSON.stringify(pathToFileURL(real).href)};
export default async () => {
  const kernel = await create();
  let broken = false;
  const { setup } = kernel;
  kernel.setup = () => {
    setup();
    const { ofMesh } = kernel.Manifold;
    kernel.Manifold.ofMesh = (mesh) => {
      if (mesh.triVerts.length === 24) process.exit(5);
      while (mesh.triVerts.length === 48);
      broken ||= mesh.triVerts.length === 36;
      if (broken) throw new WebAssembly.RuntimeError('memory access out of bounds');
      return ofMesh(mesh);
    };
  };
  return kernel;
};`;

/** The built solids, with a kernel of one's own or none. */
function stage(name: string, kernel: string | null): string {
  const to = join(folder, name);
  mkdirSync(join(to, 'node_modules/@oddside'), { recursive: true });
  cpSync(join(packages, 'solids/dist'), join(to, 'solids/dist'), { recursive: true });
  writeFileSync(join(to, 'solids/package.json'), '{ "type": "module" }');
  for (const each of ['core', 'pattern', 'parting'])
    symlinkSync(join(packages, each), join(to, 'node_modules/@oddside', each));
  if (kernel !== null) {
    mkdirSync(join(to, 'node_modules/manifold-3d'));
    writeFileSync(join(to, 'node_modules/manifold-3d/package.json'), '{ "type": "module", "exports": "./index.js" }');
    writeFileSync(join(to, 'node_modules/manifold-3d/index.js'), kernel);
  }
  return pathToFileURL(join(to, 'solids/dist/index.js')).href;
}

/** What scripts begin with: patterns of 8, 12, 16 and 20 triangles, and an error in short. */
const BEGIN = `
const pattern = (positions, triangles) => ({
  name: 'knob', positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles),
  unit: { name: 'mm', from: 'caller' }, findings: [],
});
const of = (n) => pattern(
  [0, 0, -9, 0, 0, 9, ...Array.from({ length: n }, (_, k) => [9 * Math.cos(2 * Math.PI * k / n), 9 * Math.sin(2 * Math.PI * k / n), 0]).flat()],
  Array.from({ length: n }, (_, k) => [0, 2 + (k + 1) % n, 2 + k, 1, 2 + k, 2 + (k + 1) % n]).flat(),
);
const [four, six, eight, ten] = [4, 6, 8, 10].map(of);
const options = { joint: { kind: 'level', height: 0 }, printWall: 0, standSand: 0 };
const told = (work) => work.then(() => 'done', ({ code, message, details }) => ({ code, message, details }));
const said = [];
`;

/** Runs a script in a Node of its own, which must end by itself, and gives what it said. */
function run(solids: string, script: string): unknown[] {
  const code = `import { openSolids } from ${JSON.stringify(solids)};\n${BEGIN}\n${script}\nconsole.log(JSON.stringify(said));`;
  const { status, stdout, stderr, error } = spawnSync(process.execPath, ['--input-type=module', '-e', code], {
    cwd: dirname(fileURLToPath(solids)),
    encoding: 'utf8',
    timeout: 50_000,
  });
  expect({ status, stderr, error }).toEqual({ status: 0, stderr: '', error: undefined });
  return JSON.parse(stdout) as unknown[];
}

describe('solids in threads', () => {
  it('let the program end, disposed of or forgotten, and hold it while something is being made', () => {
    const solids = pathToFileURL(join(packages, 'solids/dist/index.js')).href;
    const made = run(
      solids,
      `const disposed = await openSolids({ threads: 2 });
       said.push(await told(disposed.splitPattern(ten, [0, 0, 1], options)));
       disposed.dispose();
       const forgotten = await openSolids({ threads: 2 });
       said.push(await told(forgotten.splitPattern(ten, [0, 0, 1], options)));`,
    );
    expect(made).toEqual(['done', 'done']);
  });

  it('say that the kernel is missing in the same words', () => {
    const [without, one, two] = run(
      stage('missing', null),
      `for (const threads of [0, 1, 2]) said.push(await told(openSolids({ threads })));`,
    );
    expect(without).toMatchObject({ code: 'missing-engine', details: { install: 'npm install manifold-3d' } });
    expect([one, two]).toEqual([without, without]);
  });

  const failing = stage('failing', FAILING);

  it('say that a kernel ran out of memory in the same words, and go on with a fresh one', () => {
    const [without, ...withThreads] = run(
      failing,
      `for (const threads of [0, 1, 2]) {
         const solids = await openSolids({ threads });
         said.push(await told(solids.fillBackDraft(six, [0, 0, 1])));
         if (threads === 0) continue;
         said.push(await told(solids.splitPattern(six, [0, 0, 1], options)));
         said.push(await told(solids.splitPattern(ten, [0, 0, 1], options)));
         said.push(await told(solids.fillBackDraft(ten, [0, 0, 1])));
       }`,
    );
    expect(without).toMatchObject({
      code: 'infeasible',
      message: expect.stringMatching(/ran out of its memory/) as string,
    });
    const each = [without, without, 'done', 'done'];
    expect(withThreads).toEqual([...each, ...each]);
  });

  it('end a thread that does not heed an abort, and go on with another', () => {
    const said = run(
      failing,
      `for (const threads of [1, 2]) {
         const solids = await openSolids({ threads });
         for (const ask of [
           (pattern, task) => solids.fillBackDraft(pattern, [0, 0, 1], task),
           (pattern, task) => solids.splitPattern(pattern, [0, 0, 1], { ...options, ...task }),
         ]) {
           const stop = new AbortController();
           const never = Array.from({ length: threads }, () => told(ask(eight, { signal: stop.signal })));
           // A turn of the loop later they run.
           setTimeout(() => stop.abort(Object.assign(new Error('tea'), { code: 'stopped' })), 1);
           said.push(...(await Promise.all(never)).map(({ message }) => message));
           said.push(await told(ask(ten)));
         }
         said.push('next');
       }`,
    );
    expect(said).toEqual(['tea', 'done', 'tea', 'done', 'next', 'tea', 'tea', 'done', 'tea', 'tea', 'done', 'next']);
  });

  it('say that a thread died, refuse what was asked and what comes after, and can be opened again', () => {
    const said = run(
      failing,
      `const solids = await openSolids({ threads: 2 });
       const [died, other] = [told(solids.fillBackDraft(four, [0, 0, 1])), told(solids.fillBackDraft(four, [0, 0, 1]))];
       said.push(await died, await other, await told(solids.fillBackDraft(ten, [0, 0, 1])));
       solids.dispose();
       said.push(await told((await openSolids({ threads: 1 })).fillBackDraft(ten, [0, 0, 1])));`,
    );
    const dead = {
      code: 'infeasible',
      message: expect.stringMatching(/ended before it was done.*with code 5.*Call openSolids\(\) again/) as string,
    };
    expect(said).toMatchObject([dead, dead, dead, 'done']);
  });
});
