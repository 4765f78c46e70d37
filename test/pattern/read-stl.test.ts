import { isOddsideError } from '@oddside/core';
import { decodePattern, inspectPattern, measurePattern, type Pattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import { box, merge, sphere, translate } from '../helpers/shapes.js';
import { asciiStl, binaryStl, bytesOf } from './stl-bytes.js';

const cube = box([0, 0, 0], [10, 20, 30]);
const codes = (pattern: Pattern): string[] => pattern.findings.map((finding) => finding.code);
const read = (bytes: Uint8Array): Pattern => decodePattern(bytes, { unit: 'mm' });
const readText = (text: string): Pattern => read(bytesOf(text));

function expectCube(pattern: Pattern, findings: string[] = []): void {
  const inspection = inspectPattern(pattern);
  expect({ ...inspection, findings: [] }).toMatchObject({ closed: true, consistent: true, triangles: 12, vertices: 8 });
  expect(measurePattern(pattern).volumeMm3).toBe(6000);
  expect(codes(pattern)).toEqual(findings);
}

function errorOf(run: () => unknown): { code: string; message: string } {
  try {
    run();
  } catch (error) {
    if (isOddsideError(error)) return { code: error.code, message: error.message };
    throw error;
  }
  throw new Error('no error was thrown');
}

describe('binary STL', () => {
  test('a plain file', () => expectCube(read(binaryStl(cube))));

  test('a header that begins with solid', () => expectCube(read(binaryStl(cube, { header: 'solid facet cube' }))));

  test('negative zero is zero', () => {
    const mesh = { ...cube, positions: cube.positions.map((c) => (c === 0 ? -0 : c)) };
    const mixed = merge(cube, mesh);
    expect(read(binaryStl(mixed)).positions.length).toBe(24);
  });

  test('a count that is too high: what is there is read, and said', () => {
    const pattern = read(binaryStl(cube, { declared: 2000 }));
    expectCube(pattern, ['file-cut-short']);
    expect(pattern.findings[0].message).toContain('2000');
  });

  test('a count of 0xffffffff allocates nothing', () => {
    expectCube(read(binaryStl(cube, { declared: 0xffffffff })), ['file-cut-short']);
  });

  test('a count that is too low, and zero: all records are read, and said', () => {
    expectCube(read(binaryStl(cube, { declared: 5 })), ['count-too-small']);
    expectCube(read(binaryStl(cube, { declared: 0 })), ['count-too-small']);
  });

  test('trailing bytes are left out, also behind a header that begins with solid', () => {
    expectCube(read(binaryStl(cube, { tail: new Uint8Array(333).fill(7) })), ['trailing-bytes']);
    expectCube(read(binaryStl(cube, { header: 'solid', tail: bytesOf('made by hand') })), ['trailing-bytes']);
    // A whole number of records, but of text.
    expectCube(read(binaryStl(cube, { tail: bytesOf('x'.repeat(100)) })), ['trailing-bytes']);
  });

  test('a file cut in the middle of a record keeps the whole records', () => {
    const bytes = binaryStl(cube);
    const pattern = read(bytes.slice(0, 84 + 50 * 7 + 13));
    expect(pattern.triangles.length).toBe(21);
    expect(codes(pattern)).toEqual(['file-cut-short']);
  });

  test('colour words and stored normals are ignored', () => {
    const bytes = binaryStl(cube);
    const view = new DataView(bytes.buffer);
    for (let t = 0; t < 12; t++) {
      view.setFloat32(84 + 50 * t, NaN, true);
      view.setUint16(84 + 50 * t + 48, 0xffff, true);
    }
    expectCube(read(bytes));
  });

  test('a NaN and an infinite corner: those triangles are dropped and counted', () => {
    const bytes = binaryStl(sphere(20, 2));
    const view = new DataView(bytes.buffer);
    view.setFloat32(84 + 50 * 7 + 12, NaN, true);
    view.setFloat32(84 + 50 * 100 + 28, Infinity, true);
    const pattern = read(bytes);
    expect(pattern.triangles.length / 3).toBe(318);
    expect(codes(pattern)).toEqual(['triangles-dropped']);
    expect(inspectPattern(pattern)).toMatchObject({ openEdges: 6, openLoops: 2, closed: false });
  });

  test('too short, no records, only unusable records', () => {
    expect(errorOf(() => read(new Uint8Array(0))).code).toBe('empty-file');
    expect(errorOf(() => decodePattern(new Uint8Array(50), { format: 'stl' })).code).toBe('bad-file');
    expect(errorOf(() => read(new Uint8Array(84))).code).toBe('no-triangles');
    expect(errorOf(() => decodePattern(new Uint8Array(84).fill(9, 80), { format: 'stl' })).code).toBe('no-triangles');
    const dead = { positions: Float64Array.of(NaN, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2) };
    expect(errorOf(() => read(binaryStl(dead))).code).toBe('no-triangles');
  });

  test('bytes that are something else are refused, named .stl or not', () => {
    const noise = Uint8Array.from({ length: 5000 }, (_, i) => (i * 7919 + (i >> 3) * 104729) & 255);
    expect(errorOf(() => decodePattern(noise)).code).toBe('unknown-format');
    expect(errorOf(() => decodePattern(noise, { name: 'noise.stl' })).code).toBe('bad-file');
    expect(errorOf(() => decodePattern(bytesOf('dear sir '.repeat(100)), { name: 'letter.stl' })).code).toBe(
      'bad-file',
    );
  });
});

describe('text STL', () => {
  test.each([
    ['plain', asciiStl(cube)],
    ['carriage returns', asciiStl(cube, { eol: '\r' })],
    ['both line ends', asciiStl(cube, { eol: '\r\n' })],
    ['upper case', asciiStl(cube).toUpperCase()],
    ['mixed case', asciiStl(cube).replaceAll('facet', 'Facet').replaceAll('vertex', 'VerTex')],
    ['blank lines and blanks first', `\n\n      ${asciiStl(cube)}`],
    ['a byte order mark', `\ufeff${asciiStl(cube)}`],
    ['tabs', asciiStl(cube).replaceAll(' ', '\t')],
    ['no line ends at all', asciiStl(cube, { eol: ' ' })],
    ['a name with keywords', asciiStl(cube, { name: 'my endsolid facet vertex 1 2 3' })],
    ['no name', asciiStl(cube, { name: '' })],
    [
      'exponents',
      asciiStl(cube)
        .replaceAll(/\b10\b/g, '1.0E+01')
        .replaceAll(/\b30\b/g, '.3e2'),
    ],
    ['signs', asciiStl(cube).replaceAll(/\b20\b/g, '+20.')],
    ['normals that are words', asciiStl(cube).replaceAll('normal 0 0 0', 'normal nan -nan(ind) 1.#QNAN')],
    ['missing normals', asciiStl(cube).replaceAll(' normal 0 0 0', '')],
  ])('%s', (_, text) => expectCube(readText(text)));

  test('UTF-16 with a byte order mark', () => {
    const text = `\ufeff${asciiStl(cube)}`;
    const little = new Uint8Array(text.length * 2);
    const big = new Uint8Array(text.length * 2);
    for (let i = 0; i < text.length; i++) {
      little.set([text.charCodeAt(i) & 255, text.charCodeAt(i) >> 8], 2 * i);
      big.set([text.charCodeAt(i) >> 8, text.charCodeAt(i) & 255], 2 * i);
    }
    expectCube(read(little));
    expectCube(read(big));
  });

  test('several solids are one pattern', () => {
    const pattern = readText(asciiStl(cube) + asciiStl(translate(cube, [50, 0, 0])));
    expect(inspectPattern(pattern)).toMatchObject({ triangles: 24, shells: 2, closed: true });
    expect(codes(pattern)).toEqual(['several-solids']);
  });

  test('no endsolid, and a cut in the middle of a facet', () => {
    expectCube(readText(asciiStl(cube, { end: '' })), ['file-cut-short']);
    const text = asciiStl(cube);
    const pattern = readText(text.slice(0, text.lastIndexOf('vertex') + 4));
    expect(pattern.triangles.length / 3).toBe(11);
    expect(codes(pattern)).toContain('file-cut-short');
  });

  test.each(['nan', '-1.#IND', '1,5', 'blah', '0x10', '1e', '--3', '1e999', 'Infinity', '1.2.3'])(
    'a corner with %s: that facet is dropped, the others keep their place',
    (word) => {
      const pattern = readText(asciiStl(cube).replace('vertex 0 0 0', `vertex 0 ${word} 0`));
      expect(pattern.triangles.length / 3).toBe(11);
      expect(codes(pattern)).toEqual(['triangles-dropped']);
      expect(inspectPattern(pattern)).toMatchObject({ openEdges: 3, vertices: 8 });
    },
  );

  test('a corner with two numbers, a facet with two and with four corners', () => {
    const two = readText(asciiStl(cube).replace('vertex 0 0 0', 'vertex 0 0'));
    expect(two.triangles.length / 3).toBe(11);
    expect(codes(two)).toEqual(['triangles-dropped']);
    const fewer = readText(asciiStl(cube).replace('vertex 0 0 0\n', ''));
    expect(fewer.triangles.length / 3).toBe(11);
    expect(codes(fewer)).toEqual(['facets-dropped']);
    const more = readText(asciiStl(cube).replace('vertex 0 0 0', 'vertex 0 0 0\nvertex 0 0 0'));
    expect(more.triangles.length / 3).toBe(11);
    expect(codes(more)).toEqual(['facets-dropped']);
  });

  test('numbers are read correctly rounded', () => {
    const numbers = [
      '0.1',
      '123456789.123456789',
      '1e22',
      '1e-23',
      '5e-324',
      '9007199254740993',
      '0.30000000000000004',
    ];
    for (const number of numbers) {
      const text = `solid\nfacet\nvertex ${number} 0 0\nvertex 0 ${number} 0\nvertex 0 0 -${number}\nendfacet\nendsolid`;
      if (Number(number) > 1e15) continue;
      const { positions } = readText(text);
      expect([positions[0], positions[4], positions[8]]).toEqual([Number(number), Number(number), -Number(number)]);
    }
  });

  test('long runs of keywords and of one word end quickly', () => {
    for (const word of ['solid ', 'facet ', 'vertex ', 'endfacet\n', 'solid\n', 'solid facet ']) {
      const { code } = errorOf(() => readText(`solid a\n${word.repeat(200_000)}`));
      expect(code).toBe('no-triangles');
    }
    expect(errorOf(() => readText(`solid ${'x'.repeat(2e6)}`)).code).toBe('no-triangles');
  });
});
