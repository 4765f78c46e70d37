/** Which format a file is in: by its content, with the name as a hint only where content leaves it open. */
import { OddsideError } from '@oddside/core';
import { isGlb, isGltfJson } from './read-gltf-container.js';
import { isObj } from './read-obj.js';
import { isPly } from './read-ply-header.js';
import { isStl } from './read-stl.js';
import { isZip } from './read-zip.js';

/** The formats that can be read. */
export type PatternFormat = 'stl' | 'obj' | 'ply' | '3mf' | 'glb' | 'gltf';

/** All of them, for messages. */
export const PATTERN_FORMATS: readonly PatternFormat[] = Object.freeze([
  'stl',
  'obj',
  'ply',
  '3mf',
  'glb',
  'gltf',
] as const);

/** The format the name's ending says, where it says one. */
export function formatOfName(name: string): PatternFormat | undefined {
  const ending = /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase();
  return PATTERN_FORMATS.find((format) => format === ending);
}

/**
 * The format of the bytes.
 *
 * @throws OddsideError `unknown-format` when neither content nor name tells.
 */
export function detectFormat(bytes: Uint8Array, name: string): PatternFormat {
  if (isGlb(bytes)) return 'glb';
  if (isZip(bytes)) return '3mf';
  if (isPly(bytes)) return 'ply';
  if (isStl(bytes)) return 'stl';
  if (isObj(bytes)) return 'obj';
  if (isGltfJson(bytes)) return 'gltf';
  const hinted = formatOfName(name);
  if (hinted) return hinted;
  throw new OddsideError(
    'unknown-format',
    `The file's content is none of the formats that can be read (${PATTERN_FORMATS.join(', ')})` +
      `${name ? `, and its name "${name.slice(-60)}" does not help` : ''}. Check the file, or give the format.`,
    { known: PATTERN_FORMATS, name },
  );
}
