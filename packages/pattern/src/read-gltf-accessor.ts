/** Accessors of glTF: numbers in a buffer, checked against it before they are read. */
import { OddsideError } from '@oddside/core';

export const fault = (what: string): OddsideError =>
  new OddsideError('bad-file', `The glTF cannot be read: ${what}.`, { format: 'gltf' });

/** Plain parsed JSON. */
export type Json = { readonly [key: string]: unknown };

export const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** An entry of one of the file's lists. */
export function entry(json: Json, list: string, index: unknown, from: string): Json {
  const all = json[list];
  const found = Array.isArray(all) && typeof index === 'number' ? (all[index] as unknown) : undefined;
  if (!isObject(found)) throw fault(`${from} names ${list}[${String(index)}], which does not exist`);
  return found;
}

/** A whole number of at least 0. */
export function whole(value: unknown, what: string, missing?: number): number {
  if (value === undefined && missing !== undefined) return missing;
  if (typeof value === 'number' && Number.isInteger(value) && value >= 0 && value <= 2 ** 40) return value;
  throw fault(`${what} is ${JSON.stringify(value) ?? 'missing'} instead of a whole number`);
}

interface NumberType {
  readonly size: number;
  /** What 1 is stored as, when normalised. */
  readonly one: number;
  get(view: DataView, at: number): number;
}

const TYPES: ReadonlyMap<number, NumberType> = new Map<number, NumberType>([
  [5120, { size: 1, one: 127, get: (view, at) => view.getInt8(at) }],
  [5121, { size: 1, one: 255, get: (view, at) => view.getUint8(at) }],
  [5122, { size: 2, one: 32767, get: (view, at) => view.getInt16(at, true) }],
  [5123, { size: 2, one: 65535, get: (view, at) => view.getUint16(at, true) }],
  [5125, { size: 4, one: 1, get: (view, at) => view.getUint32(at, true) }],
  [5126, { size: 4, one: 1, get: (view, at) => view.getFloat32(at, true) }],
]);

/** Gives the bytes of a buffer by its number. */
export type BufferSource = (index: number, from: string) => Uint8Array;

/** Keeps what was read, and counts it: a small file can point at the same bytes thousands of times. */
export class NumberBudget {
  readonly known: Map<string, Float64Array> = new Map();
  #left: number;

  constructor(fileSize: number) {
    this.#left = 1e6 + fileSize;
  }

  take(count: number): void {
    this.#left -= count;
    if (this.#left < 0) throw fault('its accessors ask for more numbers than the file holds');
  }
}

/**
 * The numbers of an accessor, `width` for each element.
 *
 * @param kinds Component types that are allowed for this use.
 */
export function readAccessor(
  json: Json,
  buffers: BufferSource,
  index: unknown,
  width: 1 | 3,
  kinds: readonly number[],
  from: string,
  budget: NumberBudget,
): Float64Array {
  const key = `${String(index)} ${width}`;
  const known = budget.known.get(key);
  if (known) return known;
  const accessor = entry(json, 'accessors', index, from);
  const what = `accessor ${String(index)}`;
  const wanted = width === 3 ? 'VEC3' : 'SCALAR';
  if (accessor.type !== wanted)
    throw fault(`${what} is of type ${String(accessor.type)} where ${from} needs ${wanted}`);
  const kind = whole(accessor.componentType, `the component type of ${what}`);
  const type = TYPES.get(kind);
  if (!type || !kinds.includes(kind)) throw fault(`${what} has the component type ${kind}, which ${from} cannot have`);
  const count = whole(accessor.count, `the count of ${what}`);
  const normalised = accessor.normalized === true && type.one > 1;
  const start = whole(accessor.byteOffset, `the offset of ${what}`, 0);
  const source =
    accessor.bufferView === undefined
      ? undefined
      : span(json, buffers, accessor.bufferView, start, count, width * type.size, what);
  // Without a buffer all numbers are zero, apart from sparse ones; the budget keeps a bare count from taking memory.
  budget.take(count * width);
  const out = new Float64Array(count * width);
  budget.known.set(key, out);
  if (source) copyNumbers(source, type, width, normalised, out);
  if (isObject(accessor.sparse)) applySparse(json, buffers, accessor.sparse, type, width, normalised, out, what);
  return out;
}

interface Span {
  readonly view: DataView;
  readonly start: number;
  readonly stride: number;
  readonly count: number;
}

/** Where `count` elements of `size` bytes lie; throws unless all of them are inside the buffer. */
function span(
  json: Json,
  buffers: BufferSource,
  index: unknown,
  start: number,
  count: number,
  size: number,
  from: string,
): Span {
  const bufferView = entry(json, 'bufferViews', index, from);
  const what = `bufferView ${String(index)}`;
  const extensions = isObject(bufferView.extensions) ? bufferView.extensions : {};
  if (isObject(extensions.EXT_meshopt_compression) || isObject(extensions.KHR_meshopt_compression)) {
    throw new OddsideError(
      'unsupported-file',
      'The glTF is packed with meshopt compression, which cannot be read. Save it without compression.',
      {
        extension: 'EXT_meshopt_compression',
      },
    );
  }
  const bytes = buffers(whole(bufferView.buffer, `the buffer of ${what}`), what);
  const offset = whole(bufferView.byteOffset, `the offset of ${what}`, 0);
  const length = whole(bufferView.byteLength, `the length of ${what}`);
  const stride = whole(bufferView.byteStride, `the stride of ${what}`, size) || size;
  if (stride < size) throw fault(`${what} has a stride of ${stride} bytes for elements of ${size}`);
  if (offset + length > bytes.length)
    throw fault(`${what} goes on to byte ${offset + length} of a buffer of ${bytes.length}`);
  const end = count === 0 ? start : start + stride * (count - 1) + size;
  if (end > length) throw fault(`${from} goes on to byte ${end} of ${what}, which has ${length}`);
  return { view: new DataView(bytes.buffer, bytes.byteOffset + offset, length), start, stride, count };
}

function copyNumbers(source: Span, type: NumberType, width: number, normalised: boolean, out: Float64Array): void {
  const { view, start, stride, count } = source;
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < width; k++) {
      const raw = type.get(view, start + i * stride + k * type.size);
      out[i * width + k] = normalised ? Math.max(raw / type.one, -1) : raw;
    }
  }
}

function applySparse(
  json: Json,
  buffers: BufferSource,
  sparse: Json,
  type: NumberType,
  width: number,
  normalised: boolean,
  out: Float64Array,
  from: string,
): void {
  const what = `the sparse part of ${from}`;
  const count = whole(sparse.count, `the count of ${what}`);
  if (!isObject(sparse.indices) || !isObject(sparse.values)) throw fault(`${what} lacks indices or values`);
  const indexType = TYPES.get(whole(sparse.indices.componentType, `the index type of ${what}`));
  if (!indexType || indexType.one === 127 || indexType.one === 32767)
    throw fault(`${what} has an index type that is none`);
  const indexStart = whole(sparse.indices.byteOffset, `the index offset of ${what}`, 0);
  const valueStart = whole(sparse.values.byteOffset, `the value offset of ${what}`, 0);
  const places = span(json, buffers, sparse.indices.bufferView, indexStart, count, indexType.size, what);
  const values = span(json, buffers, sparse.values.bufferView, valueStart, count, width * type.size, what);
  if (count * width > out.length) throw fault(`${what} replaces more elements than there are`);
  const numbers = new Float64Array(count * width);
  copyNumbers(values, type, width, normalised, numbers);
  for (let i = 0; i < count; i++) {
    const place = indexType.get(places.view, places.start + i * places.stride);
    if ((place + 1) * width > out.length) throw fault(`${what} replaces element ${place} of ${out.length / width}`);
    for (let k = 0; k < width; k++) out[place * width + k] = numbers[i * width + k];
  }
}
