/** The rows of a PLY body, one at a time, in either encoding. */
import { OddsideError } from '@oddside/core';
import { PLY_BYTES, type PlyElement, type PlyHeader, type PlyProperty, type PlyType } from './read-ply-header.js';
import { ByteScanner } from './scan-bytes.js';

/** Names under which files give the list of a face's corners. */
const CORNER_LISTS: readonly string[] = Object.freeze(['vertex_indices', 'vertex_index', 'vertex_indexes']);

/** Walks through the rows of an element. After {@link next} the fields hold that row. */
export interface PlyRows {
  /** Scalar properties by their place among all properties. */
  readonly scalars: Float64Array;
  /** The corner list, and how many of it count. */
  readonly list: Float64Array;
  readonly listLength: number;
  /** False for a row that could not be understood. */
  readonly valid: boolean;
  /** Rows of the element taken so far. */
  readonly done: number;
  /** Where the file ended too early, or -1. */
  readonly cutAt: number;
  /** True when the element has a list of corners. */
  readonly hasList: boolean;
  start(element: PlyElement): void;
  next(): boolean;
}

abstract class Rows {
  scalars: Float64Array = new Float64Array(0);
  list: Float64Array = new Float64Array(64);
  listLength = 0;
  valid = true;
  done = 0;
  cutAt = -1;
  protected properties: readonly PlyProperty[] = [];
  protected cornerList = -1;

  get hasList(): boolean {
    return this.cornerList >= 0;
  }

  start(element: PlyElement): void {
    this.properties = element.properties;
    this.scalars = new Float64Array(element.properties.length);
    this.done = 0;
    this.cornerList = element.properties.findIndex((p) => p.countType && CORNER_LISTS.includes(p.name));
  }

  protected growList(size: number): void {
    if (size > this.list.length) this.list = new Float64Array(Math.max(size, this.list.length * 2));
  }
}

/** Binary rows. Every read is checked against the end of the file first. */
export class PlyBinaryRows extends Rows implements PlyRows {
  readonly #view: DataView;
  readonly #little: boolean;
  #at: number;

  constructor(bytes: Uint8Array, header: PlyHeader) {
    super();
    this.#view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
    this.#little = header.encoding === 'binary_little_endian';
    this.#at = header.bodyStart;
  }

  next(): boolean {
    const rowStart = this.#at;
    for (let i = 0; i < this.properties.length; i++) {
      const { type, countType } = this.properties[i];
      let count = 1;
      if (countType !== undefined) {
        if (!this.#has(PLY_BYTES[countType])) return this.#cut(rowStart);
        count = this.#read(countType);
        if (count < 0) {
          throw new OddsideError(
            'bad-file',
            `A list in the PLY has ${count} entries (byte ${this.#at - PLY_BYTES[countType]}).`,
            {
              format: 'ply',
              offset: this.#at - PLY_BYTES[countType],
            },
          );
        }
      }
      const size = count * PLY_BYTES[type];
      if (!this.#has(size)) return this.#cut(rowStart);
      if (countType === undefined) {
        this.scalars[i] = this.#read(type);
      } else if (i === this.cornerList) {
        this.growList(count);
        for (let k = 0; k < count; k++) this.list[k] = this.#read(type);
        this.listLength = count;
      } else {
        this.#at += size;
      }
    }
    this.done++;
    return true;
  }

  #has(size: number): boolean {
    return this.#at + size <= this.#view.byteLength;
  }

  #cut(rowStart: number): false {
    this.cutAt = rowStart;
    return false;
  }

  #read(type: PlyType): number {
    const view = this.#view;
    const at = this.#at;
    this.#at += PLY_BYTES[type];
    switch (type) {
      case 'float32':
        return view.getFloat32(at, this.#little);
      case 'int32':
        return view.getInt32(at, this.#little);
      case 'uint8':
        return view.getUint8(at);
      case 'uint32':
        return view.getUint32(at, this.#little);
      case 'float64':
        return view.getFloat64(at, this.#little);
      case 'int8':
        return view.getInt8(at);
      case 'int16':
        return view.getInt16(at, this.#little);
      case 'uint16':
        return view.getUint16(at, this.#little);
    }
  }
}

/** Text rows, one a line; blank lines are skipped. A row with a word that is no number is not valid, the next is. */
export class PlyTextRows extends Rows implements PlyRows {
  readonly #scanner: ByteScanner;

  constructor(bytes: Uint8Array, header: PlyHeader) {
    super();
    this.#scanner = new ByteScanner(bytes);
    this.#scanner.at = header.bodyStart;
  }

  next(): boolean {
    const scanner = this.#scanner;
    while (!scanner.wordOnLine()) {
      if (scanner.at >= scanner.limit) {
        this.cutAt = scanner.limit;
        return false;
      }
      scanner.skipLine();
    }
    this.valid = true;
    this.listLength = 0;
    let first = true;
    for (let i = 0; i < this.properties.length && this.valid; i++) {
      const value = this.#number(first);
      first = false;
      if (this.properties[i].countType === undefined) this.scalars[i] = value;
      else this.#readList(i, value);
    }
    scanner.skipLine();
    this.done++;
    return true;
  }

  #readList(property: number, count: number): void {
    if (!Number.isInteger(count) || count < 0) this.valid = false;
    let read = 0;
    for (; read < count && this.valid; read++) {
      const value = this.#number(false);
      if (property !== this.cornerList) continue;
      if (read === this.list.length) this.#extend();
      this.list[read] = value;
    }
    if (property === this.cornerList) this.listLength = read;
  }

  #extend(): void {
    const larger = new Float64Array(this.list.length * 2);
    larger.set(this.list);
    this.list = larger;
  }

  /** The number in the current word (`here`) or the next one on the line. A missing word makes the row invalid. */
  #number(here: boolean): number {
    if (!here && !this.#scanner.wordOnLine()) {
      this.valid = false;
      return NaN;
    }
    return this.#scanner.number();
  }
}
