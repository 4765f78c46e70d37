import { isOddsideError } from '@oddside/core';
import { decodePattern, encodePattern, readPattern, type DecodeOptions } from '@oddside/pattern';
import { createServer } from 'node:http';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { asPattern, box, sphere } from '../helpers/shapes.js';
import { asciiStl, binaryStl } from './stl-bytes.js';

const cube = box([0, 0, 0], [120, 20, 30]);
const bytes = binaryStl(cube);

async function codeOf(run: () => unknown): Promise<string> {
  try {
    await run();
  } catch (error) {
    return isOddsideError(error) ? error.code : String(error);
  }
  return 'no error';
}

describe('the unit', () => {
  test('given: positions are in mm, nothing is assumed', () => {
    const pattern = decodePattern(bytes, { unit: 'inch' });
    expect(Math.max(...pattern.positions)).toBe(120 * 25.4);
    expect(pattern.unit).toEqual({ name: 'inch', from: 'caller' });
    expect(decodePattern(bytes, { unit: 'cm' }).findings).toEqual([]);
    expect(decodePattern(bytes, { unit: 'Millimetres' }).unit.name).toBe('mm');
  });

  test('missing: mm, with a finding that names the assumption and the sizes', () => {
    const { unit, findings } = decodePattern(bytes);
    expect(unit).toEqual({ name: 'mm', from: 'assumed' });
    expect(findings.map((finding) => finding.code)).toEqual(['unit-assumed']);
    expect(findings[0].message).toMatch(/120 × 20 × 30 mm.*3050 × 508 × 762 mm if it is in inch/);
  });

  test('a size that no casting has names the unit that would fit', () => {
    const small = decodePattern(binaryStl(box([0, 0, 0], [0.12, 0.1, 0.1])), { unit: 'mm' });
    expect(small.findings.map((finding) => finding.code)).toEqual(['size-implausible']);
    expect(small.findings[0].message).toMatch(/0\.12 mm.*In m or foot/);
    const large = decodePattern(bytes, { unit: 'm' });
    expect(large.findings[0].message).toMatch(/120000 mm.*In mm or cm/);
  });

  test('unknown: an error that lists the units', async () => {
    expect(await codeOf(() => decodePattern(bytes, { unit: 'furlong' }))).toBe('unknown-unit');
  });
});

describe('options', () => {
  test('an unknown option, format or source is refused', async () => {
    expect(await codeOf(() => decodePattern(bytes, { units: 'mm' } as DecodeOptions))).toBe('bad-option');
    expect(await codeOf(() => decodePattern(bytes, { format: 'sldprt' as 'stl' }))).toBe('unknown-format');
    expect(await codeOf(() => decodePattern('text' as unknown as Uint8Array))).toBe('unreadable-source');
  });

  test('the name: given, from the file, or plain', () => {
    expect(decodePattern(bytes, { name: 'a/b/cleat.v2.stl' }).name).toBe('cleat.v2');
    expect(decodePattern(new TextEncoder().encode(asciiStl(cube, { name: 'lamp bracket' }))).name).toBe('lamp bracket');
    expect(decodePattern(bytes).name).toBe('pattern');
  });

  test('the source bytes are not changed, and a view into a larger buffer is read as it is', () => {
    const large = new Uint8Array(bytes.length + 13);
    large.set(bytes, 13);
    const before = large.slice();
    const pattern = decodePattern(large.subarray(13), { unit: 'inch' });
    expect(pattern.triangles.length).toBe(36);
    expect(large).toEqual(before);
  });
});

describe('readPattern', () => {
  let folder = '';
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'pattern-'));
    await writeFile(join(folder, 'tiller ornament.stl'), bytes);
  });
  afterAll(() => rm(folder, { recursive: true }));

  test('a path, a file URL, a Blob, an ArrayBuffer and bytes give the same', async () => {
    const path = join(folder, 'tiller ornament.stl');
    const expected = decodePattern(bytes, { unit: 'mm', name: 'tiller ornament' });
    const sources = [
      path,
      pathToFileURL(path),
      pathToFileURL(path).href,
      new Blob([bytes.slice()]),
      bytes.buffer,
      bytes,
    ];
    for (const source of sources) {
      const pattern = await readPattern(source as string, { unit: 'mm' });
      expect({ ...pattern, name: expected.name }).toEqual(expected);
    }
    expect((await readPattern(path)).name).toBe('tiller ornament');
    expect((await readPattern(pathToFileURL(path).href)).name).toBe('tiller ornament');
  });

  test('over http, and what a server may answer instead', async () => {
    const server = createServer((request, response) => {
      if (request.url === '/cleat.stl') response.end(bytes);
      else response.writeHead(404).end();
    });
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const address = server.address() as { port: number };
    const base = `http://127.0.0.1:${address.port}`;
    try {
      expect((await readPattern(`${base}/cleat.stl`)).name).toBe('cleat');
      expect((await readPattern(new URL(`${base}/cleat.stl`))).triangles.length).toBe(36);
      expect(await codeOf(() => readPattern(`${base}/nothing.stl`))).toBe('unreadable-source');
      expect(await codeOf(() => readPattern(`${base}/cleat.stl`, { maxBytes: 100 }))).toBe('file-too-large');
    } finally {
      server.close();
    }
    expect(await codeOf(() => readPattern(`${base}/cleat.stl`))).toBe('unreadable-source');
  });

  test('no such file, a folder, too large, no source at all', async () => {
    expect(await codeOf(() => readPattern(join(folder, 'none.stl')))).toBe('unreadable-source');
    expect(await codeOf(() => readPattern(folder))).toBe('unreadable-source');
    expect(await codeOf(() => readPattern(join(folder, 'tiller ornament.stl'), { maxBytes: 10 }))).toBe(
      'file-too-large',
    );
    expect(await codeOf(() => readPattern(''))).toBe('unreadable-source');
    expect(await codeOf(() => readPattern(undefined as unknown as string))).toBe('unreadable-source');
    expect(await codeOf(() => readPattern('ftp://example.org/a.stl'))).toBe('unreadable-source');
    expect(await codeOf(() => readPattern('http://'))).toBe('unreadable-source');
  });

  test('progress rises to exactly one 1, and an abort rejects with its reason', async () => {
    const large = encodePattern(asPattern(sphere(50, 7)), 'stl');
    const seen: number[] = [];
    await readPattern(large, { unit: 'mm', onProgress: (fraction) => seen.push(fraction) });
    expect(seen.filter((fraction) => fraction === 1)).toEqual([1]);
    expect(seen.at(-1)).toBe(1);
    expect([...seen].sort((a, b) => a - b)).toEqual(seen);
    expect(seen.length).toBeGreaterThan(3);
    const reason = new Error('enough');
    await expect(readPattern(large, { signal: AbortSignal.abort(reason) })).rejects.toBe(reason);
    const control = new AbortController();
    const running = readPattern(large, { signal: control.signal, onProgress: () => control.abort(reason) });
    await expect(running).rejects.toBe(reason);
  });
});
