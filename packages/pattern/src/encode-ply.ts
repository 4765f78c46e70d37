/** Binary PLY. */
import type { Pattern } from './pattern.js';

/** Writes a little-endian PLY in mm with 64-bit coordinates: reading it gives the same numbers. */
export function encodePly({ positions, triangles }: Pattern): Uint8Array {
  const header = new TextEncoder().encode(
    [
      'ply',
      'format binary_little_endian 1.0',
      'comment lengths in mm',
      `element vertex ${positions.length / 3}`,
      'property double x',
      'property double y',
      'property double z',
      `element face ${triangles.length / 3}`,
      'property list uchar uint vertex_indices',
      'end_header\n',
    ].join('\n'),
  );
  const bytes = new Uint8Array(header.length + positions.length * 8 + (triangles.length / 3) * 13);
  bytes.set(header);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (let i = 0; i < positions.length; i++, at += 8) view.setFloat64(at, positions[i], true);
  for (let t = 0; t < triangles.length; t += 3, at += 13) {
    bytes[at] = 3;
    view.setUint32(at + 1, triangles[t], true);
    view.setUint32(at + 5, triangles[t + 1], true);
    view.setUint32(at + 9, triangles[t + 2], true);
  }
  return bytes;
}
