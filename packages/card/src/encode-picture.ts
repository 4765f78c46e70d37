/** Pixels to a picture the job can carry: PNG through fast-png, base64 without Node or a browser. */
import { encode } from 'fast-png';
import type { Picture } from './picture.js';
import type { ViewPixels } from './render-view.js';

/** Packs pixels with a title and a description. */
export function encodePicture(pixels: ViewPixels, about: Pick<Picture, 'id' | 'title' | 'alt' | 'tones'>): Picture {
  const { width, height, rgba, mmPerPx, left, top } = pixels;
  const png = encode({ width, height, data: rgba, channels: 4, depth: 8 });
  return { ...about, widthPx: width, heightPx: height, mmPerPx, left, top, png: toBase64(png) };
}

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Base64 of any bytes, RFC 4648. */
export function toBase64(bytes: Uint8Array): string {
  const parts: string[] = [];
  let text = '';
  for (let i = 0; i < bytes.length; i += 3) {
    const left = bytes.length - i;
    const word = (bytes[i] << 16) | ((left > 1 ? bytes[i + 1] : 0) << 8) | (left > 2 ? bytes[i + 2] : 0);
    text += DIGITS[word >> 18] + DIGITS[(word >> 12) & 63];
    text += left > 1 ? DIGITS[(word >> 6) & 63] : '=';
    text += left > 2 ? DIGITS[word & 63] : '=';
    if (text.length > 8192) {
      parts.push(text);
      text = '';
    }
  }
  parts.push(text);
  return parts.join('');
}
