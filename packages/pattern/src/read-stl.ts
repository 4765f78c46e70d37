/** STL, either kind. */
import { OddsideError, type Steps } from '@oddside/core';
import type { RawMesh } from './raw-mesh.js';
import { readAsciiStl } from './read-ascii-stl.js';
import { isExactBinaryStl, looksLikeFacets, readBinaryStl } from './read-binary-stl.js';
import { ByteScanner } from './scan-bytes.js';

/** How far into a file to look for the first words: a header, some blank lines, a long name. */
const LOOK = 4096;

/**
 * True when the bytes begin as a text STL: the word `solid`, and before long `facet` or `endsolid`. Many programs begin
 * the header of a *binary* file with `solid` too, so the first word alone proves nothing.
 */
export function isAsciiStl(bytes: Uint8Array): boolean {
  if (isExactBinaryStl(bytes)) return false;
  const scanner = new ByteScanner(bytes, Math.min(bytes.length, LOOK));
  if (!scanner.word()) return false;
  if (scanner.is('facet')) return true;
  if (!scanner.is('solid')) return false;
  while (scanner.word()) {
    if (scanner.is('facet') || scanner.is('endsolid')) return !hasControlBytes(bytes);
  }
  return !hasControlBytes(bytes);
}

/** True when the start of the file holds bytes that no text has. NUL is one: floats are full of it. */
function hasControlBytes(bytes: Uint8Array): boolean {
  let end = Math.min(bytes.length, LOOK);
  // Some programs fill the last block with NULs.
  while (end > 0 && bytes[end - 1] === 0) end--;
  for (let i = 0; i < end; i++) {
    const byte = bytes[i];
    if (byte < 9 || (byte > 13 && byte < 32 && byte !== 26 && byte !== 27)) return true;
  }
  return false;
}

/** True when the bytes can be told to be an STL by their content alone. */
export function isStl(bytes: Uint8Array): boolean {
  return isExactBinaryStl(bytes) || isAsciiStl(bytes) || (bytes.length > 84 && looksLikeFacets(bytes));
}

/** Reads an STL, text or binary by its content. */
export function* readStl(bytes: Uint8Array): Steps<RawMesh> {
  if (isAsciiStl(bytes)) return yield* readAsciiStl(bytes);
  if (bytes.length < 84) {
    throw new OddsideError(
      'bad-file',
      `A binary STL has at least 84 bytes and a text STL begins with "solid"; the file has ${bytes.length} bytes and ` +
        'does neither. It was cut off or is no STL.',
      { format: 'stl', offset: bytes.length },
    );
  }
  return yield* readBinaryStl(bytes);
}
