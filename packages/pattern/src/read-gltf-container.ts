/** The outer form of glTF: the chunks of a GLB, the JSON, and where the buffers are. */
import { OddsideError } from '@oddside/core';
import { entry, fault, isObject, whole, type BufferSource, type Json } from './read-gltf-accessor.js';

const GLB_MAGIC = 0x46546c67;
const JSON_CHUNK = 0x4e4f534a;
const BIN_CHUNK = 0x004e4942;
const LARGEST_JSON = 64 << 20;

/** True when the bytes begin as a GLB. */
export function isGlb(bytes: Uint8Array): boolean {
  return bytes[0] === 0x67 && bytes[1] === 0x6c && bytes[2] === 0x54 && bytes[3] === 0x46;
}

/** True when the bytes are JSON that speaks of an `asset` before long. */
export function isGltfJson(bytes: Uint8Array): boolean {
  let at = 0;
  while (at < Math.min(bytes.length, 1024) && bytes[at] <= 32) at++;
  if (bytes[at] !== 123) return false;
  const text = new TextDecoder('latin1').decode(bytes);
  return /"asset"\s*:/.test(text) || /"(meshes|accessors|bufferViews)"\s*:/.test(text);
}

/** Splits the file. `given` holds external buffers by their uri: nothing is ever fetched. */
export function openGltf(
  bytes: Uint8Array,
  given: Readonly<Record<string, Uint8Array>>,
): { readonly json: Json; readonly buffers: BufferSource } {
  const { text, bin } = isGlb(bytes) ? chunksOf(bytes) : { text: bytes, bin: undefined };
  const json = parseJson(text);
  const version = isObject(json.asset) ? String(json.asset.version) : '';
  if (!/^2\.\d+$/.test(version)) {
    throw new OddsideError(
      'unsupported-file',
      `Only glTF 2 can be read; the file says version "${version.slice(0, 20)}".`,
      { version },
    );
  }
  const opened = new Map<number, Uint8Array>();
  const buffers: BufferSource = (index, from) => {
    const known = opened.get(index);
    if (known) return known;
    const found = openBuffer(entry(json, 'buffers', index, from), index, bin, given);
    opened.set(index, found);
    return found;
  };
  return { json, buffers };
}

function chunksOf(bytes: Uint8Array): { text: Uint8Array; bin: Uint8Array | undefined } {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 20 || view.getUint32(0, true) !== GLB_MAGIC) throw fault('it ends before its first chunk');
  const version = view.getUint32(4, true);
  if (version !== 2) {
    throw new OddsideError('unsupported-file', `Only GLB version 2 can be read; the file is version ${version}.`, {
      version,
    });
  }
  const stated = view.getUint32(8, true);
  if (stated > bytes.length)
    throw fault(`it says it has ${stated} bytes but ends after ${bytes.length}; it was cut off`);
  let text: Uint8Array | undefined;
  let bin: Uint8Array | undefined;
  for (let at = 12; at + 8 <= stated;) {
    const length = view.getUint32(at, true);
    const kind = view.getUint32(at + 4, true);
    if (at + 8 + length > bytes.length) throw fault(`the chunk at byte ${at} goes on beyond the end of the file`);
    const content = bytes.subarray(at + 8, at + 8 + length);
    if (text === undefined) {
      if (kind !== JSON_CHUNK) throw fault('its first chunk is not JSON');
      text = content;
    } else if (kind === BIN_CHUNK) {
      bin ??= content;
    }
    at += 8 + length + ((4 - (length % 4)) % 4);
  }
  if (text === undefined) throw fault('it has no JSON chunk');
  return { text, bin };
}

function parseJson(text: Uint8Array): Json {
  if (text.length > LARGEST_JSON) throw fault(`its JSON has ${text.length} bytes; up to ${LARGEST_JSON} are read`);
  let json: unknown;
  try {
    json = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(text));
  } catch (cause) {
    // Nesting too deep for the engine ends here too.
    const reason = cause instanceof Error ? cause.message.slice(0, 120) : '';
    throw new OddsideError(
      'bad-file',
      `The glTF cannot be read: its JSON is not sound (${reason}).`,
      { format: 'gltf' },
      { cause },
    );
  }
  if (!isObject(json)) throw fault('its JSON is not an object');
  return json;
}

function openBuffer(
  buffer: Json,
  index: number,
  bin: Uint8Array | undefined,
  given: Readonly<Record<string, Uint8Array>>,
): Uint8Array {
  const length = whole(buffer.byteLength, `the length of buffer ${index}`);
  const bytes = bytesOfBuffer(buffer, index, bin, given);
  if (bytes.length < length) throw fault(`buffer ${index} says it has ${length} bytes, but ${bytes.length} are there`);
  return bytes.subarray(0, length);
}

function bytesOfBuffer(
  buffer: Json,
  index: number,
  bin: Uint8Array | undefined,
  given: Readonly<Record<string, Uint8Array>>,
): Uint8Array {
  const { uri } = buffer;
  if (uri === undefined) {
    if (index === 0 && bin) return bin;
    throw fault(`buffer ${index} has no content`);
  }
  if (typeof uri !== 'string') throw fault(`the uri of buffer ${index} is no text`);
  const data = /^data:[^,]{0,200};base64,/.exec(uri.slice(0, 256));
  if (data) return fromBase64(uri, data[0].length, index);
  if (Object.hasOwn(given, uri)) return given[uri];
  throw new OddsideError(
    'unsupported-file',
    `The glTF keeps its numbers in another file, "${uri.slice(0, 80)}". Hand its bytes over in the option "buffers", or save it as GLB.`,
    { format: 'gltf', uri: uri.slice(0, 200) },
  );
}

function fromBase64(uri: string, start: number, index: number): Uint8Array {
  let binary: string;
  try {
    binary = atob(uri.slice(start));
  } catch (cause) {
    throw new OddsideError(
      'bad-file',
      `The glTF cannot be read: buffer ${index} is not sound base64.`,
      { format: 'gltf' },
      { cause },
    );
  }
  return Uint8Array.from(binary, (character) => character.charCodeAt(0));
}
