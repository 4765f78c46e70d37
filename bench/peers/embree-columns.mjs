// @ts-check
// Runs embree-columns.cpp: built on this machine where a C++ compiler and Embree 3 are installed, else not there.
import { spawn, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';

const COMPILER = 'g++';
const source = fileURLToPath(new URL('./embree-columns.cpp', import.meta.url));

/**
 * Embree's version, or `undefined` where it cannot be built against.
 *
 * @returns {string | undefined}
 */
export function embreeVersion() {
  const asked = spawnSync(COMPILER, ['-E', '-P', '-include', 'embree3/rtcore.h', '-x', 'c++', '-'], {
    input: 'RTC_VERSION_STRING\n',
    encoding: 'utf8',
    maxBuffer: 2 ** 26,
  });
  return asked.status === 0 ? /"([\d.]+)"\s*$/.exec(asked.stdout)?.[1] : undefined;
}

/**
 * What a cast of all columns found: crossings, columns met, sum of highest less lowest, sum of what is shut in between, mm.
 *
 * @typedef {{ crossings: number, met: number, envelope: number, shut: number }} EmbreeCast
 */

/**
 * Starts the peer on a pattern and the grid of a field: one thread, its tree built before this returns.
 *
 * @param {{ positions: Float64Array, triangles: Uint32Array }} pattern
 * @param {import('@oddside/parting').ColumnField} field
 * @returns {Promise<{ cast: () => Promise<EmbreeCast> }>}
 */
export async function openEmbree({ positions, triangles }, field) {
  const folder = mkdtempSync(join(tmpdir(), 'oddside-embree-'));
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  const program = join(folder, 'embree-columns');
  const built = spawnSync(COMPILER, ['-O3', '-march=native', source, '-o', program, '-lembree3'], { encoding: 'utf8' });
  if (built.status !== 0) throw new Error(`The peer could not be built: ${built.stderr}`);
  const { nu, nv, column, u0, v0, origin, u, v, direction, lowest, highest } = field;
  const grid = Float64Array.of(nu, nv, column, u0, v0, ...origin, ...u, ...v, ...direction, lowest, highest);
  const mesh = join(folder, 'mesh.bin');
  const parts = [Uint32Array.of(positions.length / 3, triangles.length / 3), positions, triangles, grid];
  writeFileSync(
    mesh,
    Buffer.concat(parts.map((part) => new Uint8Array(part.buffer, part.byteOffset, part.byteLength))),
  );

  const child = spawn(program, [mesh], { stdio: ['pipe', 'pipe', 'inherit'] });
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  // The bench may end while the peer waits for its next line; it then ends too. Only an answer outstanding holds the bench.
  const pipes = /** @type {{ ref(): void, unref(): void }[]} */ (
    /** @type {unknown} */ ([child, child.stdin, child.stdout])
  );
  const answer = async () => {
    for (const pipe of pipes) pipe.ref();
    const { value, done } = await lines.next();
    for (const pipe of pipes) pipe.unref();
    if (done) throw new Error('The peer stopped.');
    return String(value);
  };
  await answer();
  return {
    cast: async () => {
      child.stdin.write('cast\n');
      const [crossings, met, envelope, shut] = (await answer()).split(' ').map(Number);
      return { crossings, met, envelope, shut };
    },
  };
}
