/** OBJ. */
import { TextPieces } from './encode-text.js';
import type { Pattern } from './pattern.js';

/** Writes an OBJ in mm. Coordinates are written in full: reading them gives the same numbers. */
export function encodeObj({ name, positions, triangles }: Pattern): Uint8Array {
  const text = new TextPieces();
  text.add(`# lengths in mm\no ${name.replaceAll(/\s+/g, ' ').trim() || 'pattern'}\n`);
  for (let i = 0; i < positions.length; i += 3) text.add(`v ${positions[i]} ${positions[i + 1]} ${positions[i + 2]}\n`);
  for (let t = 0; t < triangles.length; t += 3) {
    text.add(`f ${triangles[t] + 1} ${triangles[t + 1] + 1} ${triangles[t + 2] + 1}\n`);
  }
  return text.bytes();
}
