/** From wherever the file is to a pattern. */
import { OddsideError, resolveOptions, startPacing, paceSteps, type Pacer, type TaskOptions } from '@oddside/core';
import { DECODE_DEFAULTS, decodeSteps, type DecodeOptions } from './decode-pattern.js';
import type { Pattern } from './pattern.js';

/** Where a pattern can be read from. A string is a path, or a URL when it begins with `file:`, `http:` or `https:`. */
export type PatternSource = string | URL | Blob | ArrayBuffer | Uint8Array;

/** What {@link readPattern} can be told. */
export interface ReadOptions extends DecodeOptions, TaskOptions {
  /** Files larger than this many bytes are refused before they are read. Default 2 GiB. */
  readonly maxBytes?: number;
}

/** The defaults of {@link readPattern}. */
export const READ_DEFAULTS: Readonly<ReadOptions> = Object.freeze({
  ...DECODE_DEFAULTS,
  signal: undefined,
  onProgress: undefined,
  maxBytes: 2 ** 31,
});

/**
 * Reads a pattern from a path (Node), a `file:` or `http(s):` URL, a Blob or File, or bytes. The same function in Node
 * and in a browser; Node's file system is only loaded when a path comes.
 *
 * Cost: a binary STL of a million triangles takes about 0.3 s, a text one about 0.7 s. Does not block: see `signal` and
 * `onProgress`.
 *
 * @throws OddsideError as `decodePattern` does, and `unreadable-source` (no such file, no answer, cause inside),
 * `file-too-large`. The signal's reason after an abort.
 */
export async function readPattern(source: PatternSource, options?: ReadOptions): Promise<Pattern> {
  const settled = resolveOptions('readPattern', READ_DEFAULTS, options);
  const pacer = startPacing(settled);
  const { bytes, name } = await fetchBytes(source, settled, pacer);
  await pacer.step(0.2);
  const pattern = await paceSteps(decodeSteps(bytes, { ...settled, name: settled.name ?? name }), pacer, 0.2, 1);
  pacer.finish();
  return pattern;
}

interface Fetched {
  readonly bytes: Uint8Array;
  readonly name: string;
}

async function fetchBytes(source: PatternSource, options: ReadOptions, pacer: Pacer): Promise<Fetched> {
  if (source instanceof Uint8Array) return { bytes: source, name: '' };
  if (source instanceof ArrayBuffer) return { bytes: new Uint8Array(source), name: '' };
  if (typeof Blob !== 'undefined' && source instanceof Blob) {
    checkSize(source.size, options);
    const bytes = new Uint8Array(await wrapFailure('the file', source.arrayBuffer(), options));
    return { bytes, name: 'name' in source ? String(source.name) : '' };
  }
  if (source instanceof URL) return fetchUrl(source, options, pacer);
  if (typeof source === 'string' && source !== '') {
    // A one-letter scheme is a drive letter.
    if (/^[a-z][a-z0-9+.-]+:/i.test(source)) return fetchUrl(asUrl(source), options, pacer);
    if (isNode()) return fetchPath(source, options);
    return fetchUrl(asUrl(source, globalThis.location.href), options, pacer);
  }
  throw new OddsideError(
    'unreadable-source',
    `A path, URL, Blob or bytes were expected, but ${source === '' ? 'an empty text' : source === null ? 'null' : typeof source} came.`,
  );
}

async function fetchUrl(url: URL, options: ReadOptions, pacer: Pacer): Promise<Fetched> {
  const name = decodeSafely(url.pathname.split('/').pop() ?? '');
  if (url.protocol === 'file:') {
    const { fileURLToPath } = await import('node:url');
    return { ...(await fetchPath(fileURLToPath(url), options)), name };
  }
  if (url.protocol !== 'http:' && url.protocol !== 'https:' && url.protocol !== 'blob:') {
    throw new OddsideError(
      'unreadable-source',
      `URLs that begin with file:, http: or https: can be read, but "${url.protocol}" came.`,
      { url: url.href },
    );
  }
  const answer = await wrapFailure(url.href, fetch(url, { signal: options.signal }), options);
  if (!answer.ok) {
    throw new OddsideError(
      'unreadable-source',
      `${url.href} answered ${answer.status} ${answer.statusText} instead of a file. Check the address.`,
      { url: url.href, status: answer.status },
    );
  }
  checkSize(Number(answer.headers.get('content-length') ?? 0), options);
  return { bytes: await collectBody(answer, url.href, options, pacer), name };
}

/** Reads the body piece by piece: the size a server states may be wrong or missing. */
async function collectBody(answer: Response, what: string, options: ReadOptions, pacer: Pacer): Promise<Uint8Array> {
  const stated = Number(answer.headers.get('content-length') ?? 0);
  const reader = answer.body?.getReader();
  if (!reader) return new Uint8Array(await wrapFailure(what, answer.arrayBuffer(), options));
  const pieces: Uint8Array[] = [];
  let size = 0;
  for (;;) {
    const { done, value } = await wrapFailure(what, reader.read(), options);
    if (done) break;
    pieces.push(value);
    size += value.length;
    if (size > options.maxBytes!) await reader.cancel();
    checkSize(size, options);
    await pacer.step(stated > 0 ? Math.min(0.2, (0.2 * size) / stated) : 0);
  }
  const bytes = new Uint8Array(size);
  let at = 0;
  for (const piece of pieces) {
    bytes.set(piece, at);
    at += piece.length;
  }
  return bytes;
}

async function fetchPath(path: string, options: ReadOptions): Promise<Fetched> {
  const { open } = await import('node:fs/promises');
  const file = await wrapFailure(path, open(path, 'r'), options);
  try {
    const about = await wrapFailure(path, file.stat(), options);
    if (!about.isFile()) {
      throw new OddsideError('unreadable-source', `A file was expected, but ${path} is a folder or a device.`, {
        path,
      });
    }
    checkSize(about.size, options);
    const buffer = await wrapFailure(path, file.readFile({ signal: options.signal }), options);
    const bytes = new Uint8Array(buffer.buffer, buffer.byteOffset, buffer.byteLength);
    return { bytes, name: path.split(/[\\/]/).pop() ?? '' };
  } finally {
    await file.close();
  }
}

function asUrl(text: string, base?: string): URL {
  try {
    return new URL(text, base);
  } catch (cause) {
    throw new OddsideError('unreadable-source', `"${text}" is no valid address.`, { source: text }, { cause });
  }
}

function checkSize(size: number, options: ReadOptions): void {
  if (size <= options.maxBytes!) return;
  throw new OddsideError(
    'file-too-large',
    `The file has ${size} bytes, more than the ${options.maxBytes} allowed. Raise maxBytes, or reduce the mesh.`,
    { size, maxBytes: options.maxBytes },
  );
}

/** Gives a failure to read our own error, but lets an abort through as it is. */
async function wrapFailure<T>(what: string, promise: Promise<T>, options: TaskOptions): Promise<T> {
  try {
    return await promise;
  } catch (cause) {
    options.signal?.throwIfAborted();
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new OddsideError('unreadable-source', `${what} could not be read: ${reason}.`, { source: what }, { cause });
  }
}

function isNode(): boolean {
  return typeof process !== 'undefined' && typeof process.versions?.node === 'string';
}

function decodeSafely(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return text;
  }
}
