/** STL files for tests, written without the package under test. */
import type { Mesh } from '../helpers/mesh.js';

/** A binary STL; `declared` may lie about the count, `tail` is put behind. */
export function binaryStl(
  mesh: Mesh,
  options: { header?: string; declared?: number; tail?: Uint8Array } = {},
): Uint8Array<ArrayBuffer> {
  const { positions, triangles } = mesh;
  const count = triangles.length / 3;
  const tail = options.tail ?? new Uint8Array(0);
  const bytes = new Uint8Array(84 + 50 * count + tail.length);
  bytes.set(new TextEncoder().encode(options.header ?? 'test'));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, options.declared ?? count, true);
  for (let t = 0; t < count; t++) {
    for (let k = 0; k < 3; k++) {
      for (let axis = 0; axis < 3; axis++) {
        view.setFloat32(84 + 50 * t + 12 + 12 * k + 4 * axis, positions[triangles[3 * t + k] * 3 + axis], true);
      }
    }
  }
  bytes.set(tail, 84 + 50 * count);
  return bytes;
}

/** A text STL. */
export function asciiStl(mesh: Mesh, options: { name?: string; end?: string; eol?: string } = {}): string {
  const eol = options.eol ?? '\n';
  const lines = [`solid ${options.name ?? 'test'}`];
  const { positions, triangles } = mesh;
  for (let t = 0; t < triangles.length; t += 3) {
    lines.push('facet normal 0 0 0', 'outer loop');
    for (let k = 0; k < 3; k++) {
      const at = triangles[t + k] * 3;
      lines.push(`vertex ${positions[at]} ${positions[at + 1]} ${positions[at + 2]}`);
    }
    lines.push('endloop', 'endfacet');
  }
  lines.push(options.end ?? `endsolid ${options.name ?? 'test'}`, '');
  return lines.join(eol);
}

export const bytesOf = (text: string): Uint8Array<ArrayBuffer> => new TextEncoder().encode(text);
