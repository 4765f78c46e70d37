/** Hostile STL, OBJ and PLY. */
import { box } from '../helpers/shapes.js';
import { partly, refused, whole, type HostileCase } from './hostile.js';
import { objText, plyBinary, plyHeader, plyText } from './other-bytes.js';
import { asciiStl, binaryStl, bytesOf } from './stl-bytes.js';

const cube = box([0, 0, 0], [10, 20, 30]);
const stl = (): Uint8Array => binaryStl(cube);
const text = asciiStl(cube);
const obj = objText(cube);
const ply = plyText(cube);
const of = (content: string) => (): Uint8Array => bytesOf(content);
const cut = (bytes: Uint8Array, length: number) => (): Uint8Array => bytes.slice(0, length);
const poke =
  (bytes: Uint8Array, at: number, ...values: number[]) =>
  (): Uint8Array => {
    const copy = bytes.slice();
    copy.set(values, at);
    return copy;
  };
const nan = [0, 0, 0xc0, 0x7f];
const huge = [0xff, 0xff, 0x7f, 0x7f];

export const stlCases: readonly HostileCase[] = [
  refused('empty', 'empty-file', of('')),
  ...[1, 5, 79, 80, 83].map((n) => ({ ...refused(`${n} bytes`, 'bad-file', cut(stl(), n)), format: 'stl' as const })),
  { ...refused('header only, count 12', 'no-triangles', cut(stl(), 84)), format: 'stl' },
  refused('header only, count 0', 'no-triangles', () => new Uint8Array(84)),
  ...[0, 1, 11, 13, 14, 0xffff].map((n) =>
    whole(`count ${n}`, () => binaryStl(cube, { declared: n }), [n < 12 ? 'count-too-small' : 'file-cut-short']),
  ),
  whole('count 4 thousand million', () => binaryStl(cube, { declared: 0xffffffff }), ['file-cut-short']),
  partly('cut in the first record', 0, [], cut(stl(), 84 + 20)),
  ...[1, 25, 49].map((n) =>
    partly(`cut ${n} bytes into the last record`, 11, ['file-cut-short'], cut(stl(), 84 + 550 + n)),
  ),
  ...[1, 49, 51, 99, 333].map((n) =>
    whole(`${n} bytes too many`, () => binaryStl(cube, { tail: new Uint8Array(n).fill(65) }), ['trailing-bytes']),
  ),
  whole('header solid, bytes too many', () => binaryStl(cube, { header: 'solid x', tail: bytesOf('bye') }), [
    'trailing-bytes',
  ]),
  whole('header is a whole text STL facet', () =>
    binaryStl(cube, { header: 'solid a facet normal 0 0 1 outer loop vertex 0 0 0' }),
  ),
  partly('a corner NaN', 11, ['triangles-dropped'], poke(stl(), 84 + 12, ...nan)),
  partly('a corner infinite', 11, ['triangles-dropped'], poke(stl(), 84 + 12, 0, 0, 0x80, 0x7f)),
  partly('a corner of 3e38', 11, ['triangles-dropped'], poke(stl(), 84 + 12, ...huge)),
  refused('all corners NaN', 'no-triangles', () => {
    const bytes = stl();
    for (let t = 0; t < 12; t++) bytes.set(nan, 84 + 50 * t + 12);
    return bytes;
  }),
  refused('a picture', 'unknown-format', () => Uint8Array.from({ length: 9000 }, (_, i) => (i * i * 31 + i * 7) & 255)),
  refused('zeros', 'no-triangles', () => new Uint8Array(84)),
  whole('CR', of(text.replaceAll('\n', '\r'))),
  whole('CRLF', of(text.replaceAll('\n', '\r\n'))),
  whole('upper case', of(text.toUpperCase())),
  whole('keywords in the name', of(asciiStl(cube, { name: 'solid facet endsolid endfacet' }))),
  whole('no endsolid', of(asciiStl(cube, { end: '' })), ['file-cut-short']),
  whole('an em dash in the name', of(asciiStl(cube, { name: 'lamp — bracket' }))),
  whole('words between', of(text.replaceAll('endfacet', 'color 1 0 0 endfacet')), ['strange-words']),
  whole('NUL bytes at the end', of(`${text}\0\0\0`)),
  ...['nan', '-1.#IND', '1,5', '1e400', '0x1', '', 'five'].map((word) =>
    partly(`a corner of "${word}"`, 11, ['triangles-dropped'], of(text.replace('vertex 0 0 0', `vertex 0 ${word} 0`))),
  ),
  partly('a facet of four corners', 11, ['facets-dropped'], of(text.replace('endloop', 'vertex 1 1 1\nendloop'))),
  partly('a facet of two corners', 11, ['facets-dropped'], of(text.replace(/vertex.*\n/, ''))),
  partly('cut in a number', 11, ['file-cut-short'], of(text.slice(0, text.lastIndexOf('vertex') + 9))),
  refused('solid and nothing more', 'no-triangles', of('solid cube\nendsolid cube\n')),
  refused('solid a million times', 'no-triangles', of('solid '.repeat(1e6))),
  refused('facet a million times', 'no-triangles', of(`solid a\n${'facet '.repeat(1e6)}`)),
  refused('one word of 4 MB', 'no-triangles', of(`solid ${'a'.repeat(4e6)}`)),
  refused(
    'a number of a million digits',
    'no-triangles',
    of(`solid a\nfacet\nvertex ${'1'.repeat(1e6)} 0 0\nendfacet\nendsolid`),
  ),
];

export const objCases: readonly HostileCase[] = [
  whole('plain', of(obj)),
  whole('CR', of(obj.replaceAll('\n', '\r'))),
  whole('CRLF, tabs and blanks', of(obj.replaceAll('\n', ' \r\n').replaceAll(' ', '\t '))),
  whole('no line end at the end', of(obj.trimEnd())),
  whole(
    'comments, groups, materials, unknown lines',
    of(`# cleat\nmtllib none.mtl\ng a b\nusemtl x\ns off\nzzz 1\n${obj}`),
  ),
  whole('continued lines', of(obj.replaceAll(/^f (\d+) (\d+)/gm, 'f $1 \\\n$2 \\\r\n'))),
  whole(
    'negative numbers',
    of(obj.replaceAll(/^f (\d+) (\d+) (\d+)/gm, (_, a, b, c) => `f ${+a - 9} ${+b - 9} ${+c - 9}`)),
  ),
  whole('texture and normal numbers', of(obj.replaceAll(/^f (\d+) (\d+) (\d+)/gm, 'f $1/1/1 $2//1 $3/5'))),
  whole(
    'faces before corners',
    of(
      obj
        .split('\n')
        .toReversed()
        .join('\n')
        .replaceAll(/^f (\d+) (\d+) (\d+)/gm, (_, a, b, c) => `f ${9 - a} ${9 - b} ${9 - c}`),
    ),
  ),
  whole(
    'quads',
    of(
      'v 0 0 0\nv 10 0 0\nv 10 20 0\nv 0 20 0\nv 0 0 30\nv 10 0 30\nv 10 20 30\nv 0 20 30\nf 1 4 3 2\nf 5 6 7 8\nf 1 2 6 5\nf 2 3 7 6\nf 3 4 8 7\nf 4 1 5 8\n',
    ),
  ),
  whole('colours and a weight', of(obj.replaceAll(/^v (.*)$/gm, 'v $1 0.5 0.5 0.5'))),
  whole('a two-cornered face', of(`${obj}f 1 2\n`), ['facets-dropped']),
  whole('a free-form surface', of(`${obj}surf 0 1 0 1 1 2 3 4\n`), ['free-form-left-out']),
  whole('names from the language', of(`o __proto__\ng constructor\n${obj}`)),
  partly('number 0', 11, ['corners-missing'], of(obj.replace(/^f \d+/m, 'f 0'))),
  partly('number 9 of 8', 11, ['corners-missing'], of(obj.replace(/^f \d+/m, 'f 9'))),
  partly('number -9 of 8', 11, ['corners-missing'], of(obj.replace(/^f \d+/m, 'f -9'))),
  ...['1.7', 'one', '1e1', '99999999999999999999', '/1', '--1', '+'].map((word) =>
    partly(`number "${word}"`, 11, ['corners-missing'], of(obj.replace(/^f \d+/m, `f ${word}`))),
  ),
  ...['nan', '10,5', 'inf', '1e999', 'x'].map((word) => ({
    ...partly(`coordinate "${word}"`, 8, ['triangles-dropped'], of(obj.replace('v 10 0 0', `v ${word} 0 0`))),
  })),
  partly('a coordinate missing', 8, ['triangles-dropped'], of(obj.replace('v 10 0 0', 'v 10 0'))),
  refused('corners only', 'no-triangles', of(obj.replaceAll(/^f.*\n/gm, '')), /point cloud/),
  refused('lines only', 'no-triangles', of(obj.replaceAll(/^f/gm, 'l'))),
  { ...refused('comments only', 'no-triangles', of('# nothing\n')), format: 'obj' },
  refused('all faces out of range', 'no-triangles', of(obj.replaceAll(/^f \d+/gm, 'f 77'))),
  refused('a million backslashes', 'no-triangles', of(`v 0 0 0\nf ${'\\\n'.repeat(1e6)}`)),
  refused('a face of a million corners that are one', 'no-triangles', of(`v 0 0 nan\nf ${'1 '.repeat(1e6)}\n`)),
];

const binary = (little = true): Uint8Array => plyBinary(cube, little);
const bodyAt = bytesOf(plyHeader(cube, 'binary_little_endian')).length;

export const plyCases: readonly HostileCase[] = [
  whole('text', of(ply)),
  whole('little endian', () => binary()),
  whole('big endian', () => plyBinary(cube, false)),
  whole('doubles', () => plyBinary(cube, true, true)),
  whole('CR', of(ply.replaceAll('\n', '\r'))),
  whole('CRLF', of(ply.replaceAll('\n', '\r\n'))),
  whole('blank lines', of(ply.replace('end_header\n', 'end_header\n\n\n'))),
  whole('upper case types', of(ply.replaceAll('float', 'FLOAT').replace('uchar', 'UInt8'))),
  whole(
    'comments with end_header',
    of(ply.replace('element vertex', 'comment the end_header comes later\nobj_info end_header\nelement vertex')),
  ),
  whole(
    'more properties and elements',
    of(
      ply
        .replace('element face', 'property uchar red\nelement face')
        .replace('end_header', 'element edge 1\nproperty int a\nend_header')
        .replaceAll(/^(\d+ \d+ \d+)$/gm, '$1 255')
        .trimEnd()
        .concat('\n7\n'),
    ),
  ),
  whole(
    'an element without properties, a thousand million of it',
    of(ply.replace('end_header', 'element ghost 1000000000\nend_header')),
  ),
  whole(
    'a mesh cut from quads and hexagons',
    of(
      'ply\nformat ascii 1.0\nelement vertex 8\nproperty float x\nproperty float y\nproperty float z\nelement face 6\nproperty list uchar int vertex_index\nend_header\n' +
        '0 0 0\n10 0 0\n10 20 0\n0 20 0\n0 0 30\n10 0 30\n10 20 30\n0 20 30\n4 0 3 2 1\n4 4 5 6 7\n4 0 1 5 4\n4 1 2 6 5\n4 2 3 7 6\n4 3 0 4 7\n',
    ),
  ),
  partly('text cut short', 11, ['file-cut-short'], of(ply.trimEnd().split('\n').slice(0, -1).join('\n'))),
  partly('binary cut in the last face', 11, ['file-cut-short'], () => binary().slice(0, -3)),
  refused('binary cut in the corners', 'no-triangles', cut(binary(), bodyAt + 40), /2|3 of 8|ends in element "vertex"/),
  refused('header only', 'no-triangles', cut(binary(), bodyAt)),
  refused(
    'a count of a million million corners',
    'no-triangles',
    of(ply.replace('vertex 8', 'vertex 1000000000000')),
    /ends in element/,
  ),
  partly(
    'a count of a million million faces',
    12,
    ['file-cut-short'],
    of(ply.replace('face 12', 'face 1000000000000')),
  ),
  partly('corner 8 of 8', 11, ['corners-missing'], of(ply.replace(/^3 \d+/m, '3 8'))),
  partly('corner -1', 11, ['corners-missing'], of(ply.replace(/^3 \d+/m, '3 -1'))),
  partly('corner 1.5', 11, ['corners-missing'], of(ply.replace(/^3 \d+/m, '3 1.5'))),
  partly('a list of -3', 11, ['facets-dropped'], of(ply.replace(/^3 /m, '-3 '))),
  partly('a list of "three"', 11, ['facets-dropped'], of(ply.replace(/^3 /m, 'three '))),
  partly('a list longer than its line', 11, ['facets-dropped'], of(ply.replace(/^3 /m, '9 '))),
  partly('a binary corner out of range', 11, ['corners-missing'], poke(binary(), bodyAt + 96 + 1, 200, 0, 0, 0)),
  partly('a coordinate NaN', 8, ['triangles-dropped'], poke(binary(), bodyAt + 12, ...nan)),
  partly('a coordinate in words', 8, ['triangles-dropped'], of(ply.replace('\n10 0 0\n', '\nten 0 0\n'))),
  refused('a binary list of 255 at the end', 'no-triangles', () =>
    poke(binary(), bodyAt + 96, 255)().slice(0, bodyAt + 110),
  ),
  refused(
    'a signed list count of -1',
    'bad-file',
    () => {
      const bytes = bytesOf(plyHeader(cube, 'binary_little_endian', { count: 'char' }));
      const joined = new Uint8Array(bytes.length + 96 + 13).fill(255, bytes.length + 96);
      joined.set(bytes);
      return joined;
    },
    /-1 entries/,
  ),
  refused('no end_header', 'bad-file', of(ply.replace('end_header', 'end')), /end_header/),
  refused('no format', 'bad-file', of(ply.replace('format ascii 1.0\n', '')), /format/),
  refused('format of its own', 'bad-file', of(ply.replace('ascii', 'binary_middle_endian')), /middle/),
  refused('an unknown type', 'bad-file', of(ply.replace('float x', 'half x')), /half/),
  refused('a float list count', 'bad-file', of(ply.replace('uchar', 'float')), /count/),
  refused('no z', 'bad-file', of(ply.replace('property float z\n', '')), /vertex z/),
  refused('no faces', 'no-triangles', of(ply.replace(/element face[^]*end_header/, 'end_header')), /face/),
  refused('no corners', 'bad-file', of(ply.replace('element vertex', 'element point')), /vertex/),
  refused('a negative count', 'bad-file', of(ply.replace('vertex 8', 'vertex -8')), /-8/),
  refused('a count in words', 'bad-file', of(ply.replace('vertex 8', 'vertex eight')), /eight/),
  refused(
    'two elements of one name',
    'bad-file',
    of(ply.replace('element face', 'element vertex 3\nelement face')),
    /twice/,
  ),
  refused(
    'a property before any element',
    'bad-file',
    of(ply.replace('element vertex', 'property int a\nelement vertex')),
    /before/,
  ),
  refused('ply and nothing more', 'bad-file', of('ply\n')),
  refused('a header of 4 MB', 'bad-file', of(`ply\nformat ascii 1.0\n${'comment x\n'.repeat(4e5)}`)),
];
