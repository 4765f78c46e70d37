/** GLB. */
import { findBounds } from './find-bounds.js';
import { centreOf } from './moments.js';
import type { Pattern } from './pattern.js';

/**
 * Writes a GLB in metres. Coordinates are 32-bit floats, so they are stored about the middle of the pattern, and the
 * node moves them to their place: far from the origin nothing more is lost.
 */
export function encodeGlb({ name, positions, triangles }: Pattern): Uint8Array {
  const { min, max } = findBounds(positions);
  const middle = centreOf({ min, max });
  const corners = new Float32Array(positions.length);
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i++) {
    corners[i] = (positions[i] - middle[i % 3]) / 1000;
    low[i % 3] = Math.min(low[i % 3], corners[i]);
    high[i % 3] = Math.max(high[i % 3], corners[i]);
  }
  const json = JSON.stringify({
    asset: { version: '2.0', generator: 'oddside' },
    scene: 0,
    scenes: [{ nodes: [0] }],
    nodes: [{ name, mesh: 0, translation: middle.map((c) => c / 1000) }],
    meshes: [{ primitives: [{ attributes: { POSITION: 0 }, indices: 1, mode: 4 }] }],
    accessors: [
      { bufferView: 0, componentType: 5126, count: positions.length / 3, type: 'VEC3', min: low, max: high },
      { bufferView: 1, componentType: 5125, count: triangles.length, type: 'SCALAR' },
    ],
    bufferViews: [
      { buffer: 0, byteOffset: 0, byteLength: corners.byteLength, target: 34962 },
      { buffer: 0, byteOffset: corners.byteLength, byteLength: triangles.byteLength, target: 34963 },
    ],
    buffers: [{ byteLength: corners.byteLength + triangles.byteLength }],
  });
  const text = new TextEncoder().encode(json);
  const textSize = Math.ceil(text.length / 4) * 4;
  const binSize = corners.byteLength + triangles.byteLength;
  const bytes = new Uint8Array(28 + textSize + binSize);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, bytes.length, true);
  view.setUint32(12, textSize, true);
  view.setUint32(16, 0x4e4f534a, true);
  bytes.fill(32, 20, 20 + textSize);
  bytes.set(text, 20);
  view.setUint32(20 + textSize, binSize, true);
  view.setUint32(24 + textSize, 0x004e4942, true);
  let at = 28 + textSize;
  for (const corner of corners) {
    view.setFloat32(at, corner, true);
    at += 4;
  }
  for (const corner of triangles) {
    view.setUint32(at, corner, true);
    at += 4;
  }
  return bytes;
}
