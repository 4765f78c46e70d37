/** Unpacks a {@link Scene}. */
import { OddsideError, type Vec3 } from '@oddside/core';
import { fromBase64 } from './base64.js';
import type { Scene, SceneCatches } from './scene.js';

/** A scene unpacked. */
export interface SceneMesh {
  readonly positions: Float64Array;
  readonly triangles: Uint32Array;
  readonly ways: readonly {
    readonly rank: number;
    readonly draw: Vec3;
    readonly jointHeight: number;
    readonly tones: Uint8Array;
    readonly catches?: SceneCatches;
  }[];
}

/**
 * Unpacks a scene; `makeScene` the other way round.
 *
 * @throws OddsideError `bad-file` where the packed text is not what its counts say, or names corners that do not exist.
 */
export function readScene(scene: Scene): SceneMesh {
  const { corners, low, step } = scene;
  const counts = unpack(scene.positions, 'positions', corners * 6);
  const indices = unpack(scene.indices, 'indices', scene.triangles * 12);
  const positions = new Float64Array(corners * 3);
  for (let i = 0; i < positions.length; i++) {
    positions[i] = low[i % 3] + step[i % 3] * counts.getUint16(i * 2, true);
  }
  const triangles = new Uint32Array(scene.triangles * 3);
  for (let i = 0; i < triangles.length; i++) {
    triangles[i] = indices.getUint32(i * 4, true);
    if (triangles[i] >= corners) {
      throw new OddsideError('bad-file', `The scene names corner ${triangles[i]}, but it has ${corners}.`);
    }
  }
  const ways = scene.ways.map(({ tones, ...way }) => {
    const packed = unpack(tones, 'tones', scene.triangles);
    return { ...way, tones: new Uint8Array(packed.buffer) };
  });
  return { positions, triangles, ways };
}

function unpack(text: string, what: string, size: number): DataView {
  const bytes = fromBase64(text);
  if (!bytes || bytes.length !== size) {
    throw new OddsideError(
      'bad-file',
      `The scene's ${what} should unpack to ${size} bytes, but ${bytes ? `${bytes.length} came` : 'it is not base64'}. The job was cut short or changed by hand; make it again.`,
      { what, size },
    );
  }
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
}
