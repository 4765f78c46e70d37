/** The header of a PLY: which elements follow, with which properties, in which encoding. */
import { OddsideError } from '@oddside/core';
import { ByteScanner } from './scan-bytes.js';

export type PlyType = 'int8' | 'uint8' | 'int16' | 'uint16' | 'int32' | 'uint32' | 'float32' | 'float64';

/** Bytes of each type. */
export const PLY_BYTES: Readonly<Record<PlyType, number>> = Object.freeze({
  int8: 1,
  uint8: 1,
  int16: 2,
  uint16: 2,
  int32: 4,
  uint32: 4,
  float32: 4,
  float64: 8,
});

const OLD_NAMES: Readonly<Record<string, PlyType>> = Object.freeze({
  char: 'int8',
  uchar: 'uint8',
  short: 'int16',
  ushort: 'uint16',
  int: 'int32',
  uint: 'uint32',
  float: 'float32',
  double: 'float64',
});

export interface PlyProperty {
  readonly name: string;
  readonly type: PlyType;
  /** Type of the count, for a list. */
  readonly countType?: PlyType;
}

export interface PlyElement {
  readonly name: string;
  readonly count: number;
  readonly properties: PlyProperty[];
}

export interface PlyHeader {
  readonly encoding: 'ascii' | 'binary_little_endian' | 'binary_big_endian';
  readonly elements: PlyElement[];
  /** Offset of the first byte after the header. */
  readonly bodyStart: number;
}

const LONGEST_HEADER = 1 << 20;

/** True when the bytes begin as a PLY. */
export function isPly(bytes: Uint8Array): boolean {
  return (
    bytes[0] === 112 && bytes[1] === 108 && bytes[2] === 121 && (bytes[3] === 10 || bytes[3] === 13 || bytes[3] === 32)
  );
}

/** @throws OddsideError `bad-file` with the offset of the line that cannot be understood. */
export function readPlyHeader(bytes: Uint8Array): PlyHeader {
  const scanner = new ByteScanner(bytes, Math.min(bytes.length, LONGEST_HEADER));
  const fail = (what: string): never => {
    throw new OddsideError('bad-file', `The PLY header cannot be read: ${what} (byte ${scanner.start}).`, {
      format: 'ply',
      offset: scanner.start,
    });
  };
  if (!isPly(bytes)) fail('it does not begin with "ply"');
  // With bare carriage returns a line feed after the header belongs to the body.
  const bareReturns = bytes[3] === 13 && bytes[4] !== 10;
  scanner.skipLine();
  let encoding: PlyHeader['encoding'] | undefined;
  const elements: PlyElement[] = [];
  const words: string[] = [];
  for (;;) {
    if (scanner.at >= scanner.limit) fail('"end_header" is missing');
    words.length = 0;
    while (words.length < 6 && scanner.wordOnLine()) words.push(scanner.text(80).toLowerCase());
    if (words[0] === 'end_header') break;
    if (words[0] === 'format') encoding = encodingOf(words[1], fail);
    else if (words[0] === 'element') elements.push(elementOf(words, elements, fail));
    else if (words[0] === 'property') {
      const last = elements.at(-1) ?? fail('a property comes before any element');
      last.properties.push(propertyOf(words, fail));
    }
    scanner.skipLine();
  }
  if (encoding === undefined) return fail('the "format" line is missing');
  while (scanner.wordOnLine()) continue;
  if (bareReturns) scanner.at = Math.min(scanner.at + 1, bytes.length);
  else scanner.skipLine();
  return { encoding, elements, bodyStart: scanner.at };
}

function encodingOf(word: string | undefined, fail: (what: string) => never): PlyHeader['encoding'] {
  if (word === 'ascii' || word === 'binary_little_endian' || word === 'binary_big_endian') return word;
  return fail(`format "${word}" is not ascii, binary_little_endian or binary_big_endian`);
}

function elementOf(words: string[], known: PlyElement[], fail: (what: string) => never): PlyElement {
  const [, name, count] = words;
  if (name === undefined || !/^\d{1,15}$/.test(count ?? '')) fail(`element "${name}" has the count "${count}"`);
  if (known.some((element) => element.name === name)) fail(`element "${name}" comes twice`);
  return { name: name!, count: Number(count), properties: [] };
}

function propertyOf(words: string[], fail: (what: string) => never): PlyProperty {
  if (words[1] === 'list') {
    const countType = typeOf(words[2], fail);
    if (countType.startsWith('float')) fail('a list has a count that is not a whole number type');
    return { name: words[4] ?? fail('a list has no name'), countType, type: typeOf(words[3], fail) };
  }
  return { name: words[2] ?? fail('a property has no name'), type: typeOf(words[1], fail) };
}

function typeOf(word: string | undefined, fail: (what: string) => never): PlyType {
  const name = word ?? '';
  if (Object.hasOwn(PLY_BYTES, name)) return name as PlyType;
  if (Object.hasOwn(OLD_NAMES, name)) return OLD_NAMES[name];
  return fail(`type "${name}" is unknown`);
}
