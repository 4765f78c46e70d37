/** From bytes to a pattern. */
import {
  MM_PER_UNIT,
  OddsideError,
  nearestNames,
  resolveOptions,
  drainSteps,
  type Finding,
  type Steps,
} from '@oddside/core';
import { findBounds } from './find-bounds.js';
import { PATTERN_FORMATS, detectFormat, type PatternFormat } from './detect-format.js';
import type { Pattern } from './pattern.js';
import { plainTextBytes } from './plain-text-bytes.js';
import type { RawMesh } from './raw-mesh.js';
import { read3mf } from './read-3mf.js';
import { isExactBinaryStl } from './read-binary-stl.js';
import { readGltf } from './read-gltf.js';
import { readObj } from './read-obj.js';
import { readPly } from './read-ply.js';
import { readStl } from './read-stl.js';
import { findingsOfSize, settleUnit } from './settle-unit.js';

/** What {@link decodePattern} can be told. */
export interface DecodeOptions {
  /**
   * Length unit of the file: `mm`, `cm`, `m`, `inch`, `foot`, `micron`. STL, OBJ and PLY do not state one. Default: the
   * file's own, else mm with a finding that says so.
   */
  readonly unit?: string;
  /** The format, where the content may not tell. Default: found from the content. */
  readonly format?: PatternFormat;
  /** What to call the pattern; its ending also hints at the format. Default: the file's own name for it, else `pattern`. */
  readonly name?: string;
  /** Contents of the files that a glTF keeps its numbers in, by the uri it names them with. Nothing is fetched by itself. */
  readonly buffers?: Readonly<Record<string, Uint8Array>>;
}

/** The defaults of {@link decodePattern}. */
export const DECODE_DEFAULTS: Readonly<DecodeOptions> = Object.freeze({
  unit: undefined,
  format: undefined,
  name: undefined,
  buffers: undefined,
});

/**
 * Reads a pattern from the bytes of a file. Equal corners are welded; nothing else is changed. What was wrong with the
 * file but could be lived with is in the pattern's findings.
 *
 * Cost: about 0.25 s for a binary STL of a million triangles. For files use `readPattern`, which does not block.
 *
 * @throws OddsideError `empty-file`, `no-triangles`, `bad-file`, `unsupported-file`, `unknown-format`, `unknown-unit`,
 * `bad-option`; never anything else, whatever the bytes.
 */
export function decodePattern(source: Uint8Array | ArrayBuffer, options?: DecodeOptions): Pattern {
  return drainSteps(decodeSteps(source, resolveOptions('decodePattern', DECODE_DEFAULTS, options)));
}

/** The same in steps, for a caller who paces them. */
export function* decodeSteps(source: Uint8Array | ArrayBuffer, options: DecodeOptions): Steps<Pattern> {
  const bytes = asBytes(source);
  const given = options.name ?? '';
  checkFormat(options.format);
  if (bytes.length === 0) {
    throw new OddsideError('empty-file', 'A file with a mesh was expected, but it is empty (0 bytes).', {
      name: given,
    });
  }
  const plain = isExactBinaryStl(bytes) ? bytes : plainTextBytes(bytes);
  const format = options.format ?? detectFormat(plain, given);
  const mesh = yield* readAs(format, plain, options.buffers);
  if (mesh.triangles.length === 0) {
    const why = mesh.findings.map((finding) => finding.message).join(' ');
    throw new OddsideError(
      'no-triangles',
      `The ${format.toUpperCase()} file was read, but it holds no usable triangle. ${why}`.trim(),
      { format, findings: mesh.findings },
    );
  }
  return finishPattern(mesh, options.unit, nameOf(given, mesh.name));
}

function readAs(format: PatternFormat, bytes: Uint8Array, buffers: DecodeOptions['buffers']): Steps<RawMesh> {
  switch (format) {
    case 'stl':
      return readStl(bytes);
    case 'obj':
      return readObj(bytes);
    case 'ply':
      return readPly(bytes);
    case '3mf':
      return read3mf(bytes);
    case 'glb':
    case 'gltf':
      return readGltf(bytes, buffers);
  }
}

/** Turns file units into mm and adds what there is to say about the size. */
function finishPattern(mesh: RawMesh, givenUnit: string | undefined, name: string): Pattern {
  const findings: Finding[] = [...mesh.findings];
  const unit = settleUnit(givenUnit, mesh.unit, findings);
  const factor = MM_PER_UNIT[unit.name];
  const { positions } = mesh;
  if (factor !== 1) {
    for (let i = 0; i < positions.length; i++) positions[i] *= factor;
  }
  const { min, max } = findBounds(positions);
  findings.push(...findingsOfSize([max[0] - min[0], max[1] - min[1], max[2] - min[2]], unit));
  return { name, positions, triangles: mesh.triangles, unit, findings };
}

function asBytes(source: unknown): Uint8Array {
  if (source instanceof Uint8Array) return source;
  if (source instanceof ArrayBuffer) return new Uint8Array(source);
  if (ArrayBuffer.isView(source)) return new Uint8Array(source.buffer, source.byteOffset, source.byteLength);
  throw new OddsideError(
    'unreadable-source',
    `Bytes were expected (Uint8Array or ArrayBuffer), but ${source === null ? 'null' : typeof source} came.`,
  );
}

function checkFormat(format: string | undefined): void {
  if (format === undefined || (PATTERN_FORMATS as readonly string[]).includes(format)) return;
  throw new OddsideError(
    'unknown-format',
    `The formats that can be read are ${PATTERN_FORMATS.join(', ')}, but "${format}" was asked for. ` +
      `Did you mean ${nearestNames(String(format), PATTERN_FORMATS, 1)[0]}?`,
    { given: format, known: PATTERN_FORMATS },
  );
}

/** The given name without folder and ending, else the file's own name for the object, else `pattern`. */
function nameOf(given: string, inside: string | undefined): string {
  const last = given.split(/[\\/]/).pop() ?? '';
  const base = last.replace(/\.[a-z0-9]{1,5}$/i, '');
  return base || inside?.trim().slice(0, 80) || 'pattern';
}
