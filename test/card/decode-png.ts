/** Reads an 8-bit PNG by its specification (RFC 2083), without the encoder's library. Checks every chunk's sum. */
import { crc32, inflateSync } from 'node:zlib';

export interface Png {
  readonly width: number;
  readonly height: number;
  /** Red, green, blue, opacity. */
  readonly rgba: Uint8Array;
}

export function decodePng(bytes: Uint8Array): Png {
  const file = Buffer.from(bytes);
  if (file.subarray(0, 8).toString('latin1') !== '\x89PNG\r\n\x1a\n') throw new Error('not a PNG');
  const parts: Buffer[] = [];
  let width = 0;
  let height = 0;
  let kind = 0;
  let palette: Uint8Array = Buffer.alloc(0);
  let opacity: Uint8Array = Buffer.alloc(0);
  for (let at = 8; at < file.length;) {
    const size = file.readUInt32BE(at);
    const name = file.toString('latin1', at + 4, at + 8);
    const body = file.subarray(at + 8, at + 8 + size);
    if (crc32(file.subarray(at + 4, at + 8 + size)) !== file.readUInt32BE(at + 8 + size))
      throw new Error(`bad ${name}`);
    if (name === 'IHDR') {
      width = body.readUInt32BE(0);
      height = body.readUInt32BE(4);
      kind = body[9];
      if (body[8] !== 8 || body[12] !== 0) throw new Error('only 8 bits, not interlaced');
    } else if (name === 'PLTE') palette = body;
    else if (name === 'tRNS') opacity = body;
    else if (name === 'IDAT') parts.push(body);
    at += 12 + size;
  }
  const channels = { 2: 3, 3: 1, 6: 4 }[kind];
  if (!channels) throw new Error(`colour kind ${kind}`);
  const raw = inflateSync(Buffer.concat(parts));
  const stride = width * channels;
  const plain = new Uint8Array(stride * height);
  for (let y = 0; y < height; y++) {
    const filter = raw[y * (stride + 1)];
    for (let x = 0; x < stride; x++) {
      const a = x >= channels ? plain[y * stride + x - channels] : 0;
      const b = y > 0 ? plain[(y - 1) * stride + x] : 0;
      const c = x >= channels && y > 0 ? plain[(y - 1) * stride + x - channels] : 0;
      const guess = [0, a, b, (a + b) >> 1, paeth(a, b, c)][filter];
      plain[y * stride + x] = raw[y * (stride + 1) + 1 + x] + guess;
    }
  }
  const rgba = new Uint8Array(width * height * 4).fill(255);
  for (let i = 0; i < width * height; i++) {
    if (kind === 3) {
      rgba.set(palette.subarray(plain[i] * 3, plain[i] * 3 + 3), i * 4);
      rgba[i * 4 + 3] = opacity[plain[i]] ?? 255;
    } else rgba.set(plain.subarray(i * channels, (i + 1) * channels), i * 4);
  }
  return { width, height, rgba };
}

function paeth(a: number, b: number, c: number): number {
  const p = a + b - c;
  const [pa, pb, pc] = [Math.abs(p - a), Math.abs(p - b), Math.abs(p - c)];
  return pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
}
