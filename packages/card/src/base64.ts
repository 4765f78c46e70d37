/** Base64 without Node or a browser (RFC 4648). */

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';

/** Base64 of any bytes. */
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

/** Bytes of a base64 text as {@link toBase64} writes it; `undefined` where it is not one. */
export function fromBase64(text: string): Uint8Array | undefined {
  if (text.length % 4 !== 0 || !/^[A-Za-z0-9+/]*={0,2}$/.test(text)) return undefined;
  const padding = text.endsWith('==') ? 2 : text.endsWith('=') ? 1 : 0;
  const bytes = new Uint8Array((text.length / 4) * 3 - padding);
  const values = new Uint8Array(128);
  for (let i = 0; i < DIGITS.length; i++) values[DIGITS.charCodeAt(i)] = i;
  for (let i = 0, at = 0; i < text.length; i += 4) {
    const word =
      (values[text.charCodeAt(i)] << 18) |
      (values[text.charCodeAt(i + 1)] << 12) |
      (values[text.charCodeAt(i + 2)] << 6) |
      values[text.charCodeAt(i + 3)];
    bytes[at++] = word >> 16;
    if (at < bytes.length) bytes[at++] = word >> 8;
    if (at < bytes.length) bytes[at++] = word;
  }
  return bytes;
}
