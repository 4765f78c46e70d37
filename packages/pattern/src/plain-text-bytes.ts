/** Text files with a byte order mark, made plain. */

/**
 * The same text one byte a character, where the bytes begin with a byte order mark: UTF-16 of either order is narrowed
 * (characters outside ASCII become `?`; they only occur in names and comments), the UTF-8 mark is taken off. Other bytes
 * come back as they are.
 */
export function plainTextBytes(bytes: Uint8Array): Uint8Array {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return bytes.subarray(3);
  const big = bytes[0] === 0xfe && bytes[1] === 0xff;
  const little = bytes[0] === 0xff && bytes[1] === 0xfe;
  if (!big && !little) return bytes;
  const plain = new Uint8Array((bytes.length >> 1) - 1);
  const high = big ? 0 : 1;
  for (let i = 0; i < plain.length; i++) {
    const at = 2 + 2 * i;
    plain[i] = bytes[at + high] === 0 && bytes[at + 1 - high] < 128 ? bytes[at + 1 - high] : 63;
  }
  return plain;
}
