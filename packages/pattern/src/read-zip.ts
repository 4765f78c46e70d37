/** Zip archives, read from their directory: only the parts that are wanted are unpacked, and never more than a cap. */
import { Inflate } from 'fflate';
import { OddsideError } from '@oddside/core';

/** One part of an archive. */
export interface ZipPart {
  readonly name: string;
  readonly method: number;
  readonly flags: number;
  readonly crc: number;
  readonly packedSize: number;
  readonly size: number;
  /** Offset of the part's own header. */
  readonly offset: number;
}

const END_MARK = 0x06054b50;
const DIRECTORY_MARK = 0x02014b50;
const PART_MARK = 0x04034b50;
const LONG_END_MARK = 0x06064b50;
const LONG_LOCATOR_MARK = 0x07064b50;
/** A 32-bit field that says: look at the long one. */
const LONG = 0xffffffff;
const MOST_PARTS = 20000;
/** Packed bytes unpacked at a time. Deflate makes at most 1032 bytes of one, so no step makes more than 8 MB. */
const BITE = 8192;

const fail = (what: string, offset?: number): OddsideError =>
  new OddsideError('bad-file', `The zip archive (3MF) cannot be read: ${what}.`, { format: '3mf', offset });

/** True when the bytes begin as a zip archive. */
export function isZip(bytes: Uint8Array): boolean {
  return (
    bytes[0] === 0x50 && bytes[1] === 0x4b && ((bytes[2] === 3 && bytes[3] === 4) || (bytes[2] === 5 && bytes[3] === 6))
  );
}

/**
 * The parts that the directory at the archive's end lists.
 *
 * @throws OddsideError `bad-file` with the offset of what does not fit.
 */
export function listZipParts(bytes: Uint8Array): Map<string, ZipPart> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = findEnd(view);
  const { count, start } = findDirectory(view, end);
  let at = start;
  if (count > MOST_PARTS) throw fail(`it has ${count} parts; up to ${MOST_PARTS} are read`, end);
  const parts = new Map<string, ZipPart>();
  for (let i = 0; i < count; i++) {
    if (at + 46 > end || view.getUint32(at, true) !== DIRECTORY_MARK) {
      throw fail(`its directory is damaged at part ${i + 1} of ${count} (byte ${at})`, at);
    }
    const nameLength = view.getUint16(at + 28, true);
    const next = at + 46 + nameLength + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
    if (next > end) throw fail(`its directory is damaged at part ${i + 1} of ${count} (byte ${at})`, at);
    const name = partName(new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + nameLength)));
    if (parts.has(name)) throw fail(`part "${name}" is there twice`, at);
    const sizes = longSizes(view, at, nameLength, next);
    parts.set(name, {
      name,
      flags: view.getUint16(at + 8, true),
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      ...sizes,
    });
    at = next;
  }
  return parts;
}

/** Where the directory starts; archives of the long kind (zip64) say so in a second record. */
function findDirectory(view: DataView, end: number): { count: number; start: number } {
  const count = view.getUint16(end + 10, true);
  const start = view.getUint32(end + 16, true);
  if (start !== LONG && count !== 0xffff) return { count, start };
  const locator = end - 20;
  if (locator < 0 || view.getUint32(locator, true) !== LONG_LOCATOR_MARK) throw fail('its directory is damaged', end);
  const record = Number(view.getBigUint64(locator + 8, true));
  if (record + 56 > end || view.getUint32(record, true) !== LONG_END_MARK) throw fail('its directory is damaged', end);
  return { count: Number(view.getBigUint64(record + 32, true)), start: Number(view.getBigUint64(record + 48, true)) };
}

/** Sizes and place of a part; where a field is all ones, the long one (zip64) in the extra field counts. */
function longSizes(
  view: DataView,
  at: number,
  nameLength: number,
  next: number,
): Pick<ZipPart, 'size' | 'packedSize' | 'offset'> {
  let packedSize = view.getUint32(at + 20, true);
  let size = view.getUint32(at + 24, true);
  let offset = view.getUint32(at + 42, true);
  let field = at + 46 + nameLength;
  while (field + 4 <= next) {
    const length = view.getUint16(field + 2, true);
    const fieldEnd = Math.min(field + 4 + length, next);
    if (view.getUint16(field, true) === 1) {
      let value = field + 4;
      const take = (short: number): number => {
        if (short !== LONG || value + 8 > fieldEnd) return short;
        value += 8;
        return Number(view.getBigUint64(value - 8, true));
      };
      size = take(size);
      packedSize = take(packedSize);
      offset = take(offset);
    }
    field = fieldEnd;
  }
  return { size, packedSize, offset };
}

/** Part names are compared without case, with `/` between folders and none in front, and %20 and the like resolved. */
export function partName(path: string): string {
  let name = path.replaceAll('\\', '/').replace(/^\/+/, '');
  try {
    name = decodeURIComponent(name);
  } catch {
    // A stray % is part of the name.
  }
  return name.toLowerCase();
}

function findEnd(view: DataView): number {
  const lowest = Math.max(0, view.byteLength - 22 - 0xffff);
  for (let at = view.byteLength - 22; at >= lowest; at--) {
    if (view.getUint32(at, true) === END_MARK) return at;
  }
  throw fail('its directory is missing, so it was cut off or is no zip', view.byteLength);
}

/**
 * Unpacks one part piece by piece. Checks size and checksum.
 *
 * @param cap Most bytes to unpack. A file that says, or turns out, to hold more is refused.
 */
export function* unpackPart(bytes: Uint8Array, part: ZipPart, cap: number): Generator<Uint8Array, void, void> {
  const packed = packedBytes(bytes, part);
  if (part.size > cap) throw tooLarge(part, part.size, cap);
  let size = 0;
  let crc = -1;
  const pieces: Uint8Array[] = [];
  const inflate = part.method === 8 ? new Inflate((piece) => pieces.push(piece)) : undefined;
  for (let at = 0; at < packed.length || at === 0; at += BITE) {
    const bite = packed.subarray(at, at + BITE);
    if (inflate) {
      try {
        inflate.push(bite, at + BITE >= packed.length);
      } catch (cause) {
        throw new OddsideError(
          'bad-file',
          `Part "${part.name}" of the 3MF cannot be unpacked: its packed data is damaged.`,
          {},
          { cause },
        );
      }
    } else {
      pieces.push(bite);
    }
    for (const piece of pieces.splice(0)) {
      size += piece.length;
      if (size > cap) throw tooLarge(part, size, cap);
      if (size > part.size)
        throw fail(`part "${part.name}" holds more than the ${part.size} bytes its directory says`, part.offset);
      crc = updateCrc(crc, piece);
      yield piece;
    }
  }
  if (size !== part.size)
    throw fail(`part "${part.name}" holds ${size} bytes instead of the ${part.size} its directory says`, part.offset);
  if ((crc ^ -1) >>> 0 !== part.crc)
    throw fail(`part "${part.name}" does not match its checksum: the file is damaged`, part.offset);
}

function packedBytes(bytes: Uint8Array, part: ZipPart): Uint8Array {
  const { offset, name, packedSize } = part;
  if (part.flags & 1) {
    throw new OddsideError('unsupported-file', `Part "${name}" of the 3MF is encrypted. Save it without a password.`, {
      part: name,
    });
  }
  if (part.method !== 8 && part.method !== 0) {
    throw new OddsideError(
      'unsupported-file',
      `Part "${name}" of the 3MF is packed by method ${part.method}; only stored and deflated parts can be read.`,
      { part: name },
    );
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (offset + 30 > bytes.length || view.getUint32(offset, true) !== PART_MARK)
    throw fail(`part "${name}" is not where its directory says (byte ${offset})`, offset);
  const start = offset + 30 + view.getUint16(offset + 26, true) + view.getUint16(offset + 28, true);
  if (start + packedSize > bytes.length) throw fail(`part "${name}" goes on beyond the end of the file`, offset);
  return bytes.subarray(start, start + packedSize);
}

function tooLarge(part: ZipPart, size: number, cap: number): OddsideError {
  return new OddsideError(
    'file-too-large',
    `Part "${part.name}" of the 3MF unpacks to ${size} bytes or more from ${part.packedSize}; up to ${cap} are read. ` +
      'If it is a true pattern, reduce the mesh or save it as STL.',
    { part: part.name, size, cap },
  );
}

const CRC_TABLE: Uint32Array = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c;
});

function updateCrc(crc: number, piece: Uint8Array): number {
  for (let i = 0; i < piece.length; i++) crc = CRC_TABLE[(crc ^ piece[i]) & 255] ^ (crc >>> 8);
  return crc;
}
