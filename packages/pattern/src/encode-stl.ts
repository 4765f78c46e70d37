/** Binary STL. */
import type { Pattern } from './pattern.js';

/**
 * Writes a binary STL in mm. STL has no unit and 32-bit coordinates: about seven digits are kept.
 * The header does not begin with `solid`, so that no reader takes it for text.
 */
export function encodeStl(pattern: Pattern): Uint8Array {
  const { positions, triangles } = pattern;
  const count = triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  const header = `binary STL, lengths in mm: ${pattern.name}`;
  for (let i = 0; i < Math.min(80, header.length); i++) {
    const code = header.charCodeAt(i);
    bytes[i] = code >= 32 && code < 127 ? code : 63;
  }
  view.setUint32(80, count, true);
  for (let t = 0; t < count; t++) {
    const at = 84 + 50 * t;
    const a = triangles[t * 3] * 3;
    const b = triangles[t * 3 + 1] * 3;
    const c = triangles[t * 3 + 2] * 3;
    const ux = positions[b] - positions[a];
    const uy = positions[b + 1] - positions[a + 1];
    const uz = positions[b + 2] - positions[a + 2];
    const vx = positions[c] - positions[a];
    const vy = positions[c + 1] - positions[a + 1];
    const vz = positions[c + 2] - positions[a + 2];
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const size = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const inverse = size > 0 ? 1 / size : 0;
    view.setFloat32(at, nx * inverse, true);
    view.setFloat32(at + 4, ny * inverse, true);
    view.setFloat32(at + 8, nz * inverse, true);
    for (let k = 0; k < 3; k++) {
      view.setFloat32(at + 12 + k * 4, positions[a + k], true);
      view.setFloat32(at + 24 + k * 4, positions[b + k], true);
      view.setFloat32(at + 36 + k * 4, positions[c + k], true);
    }
  }
  return bytes;
}
