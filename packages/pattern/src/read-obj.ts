/** OBJ: `v` and `f` lines; everything else is for pictures. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { collectPolygons } from './collect-polygons.js';
import { growingDoubles, growingInts } from './grow-array.js';
import type { RawMesh } from './raw-mesh.js';
import { ByteScanner, isBlank, isLineEnd } from './scan-bytes.js';

const BATCH = 20000;
const LOOK = 65536;
/** A corner number that is none. Lower than any that a negative number can lead to. */
const NO_CORNER = -0x80000000;

/** True when the bytes are text in which a line gives a corner: `v` and a number. */
export function isObj(bytes: Uint8Array): boolean {
  const end = Math.min(bytes.length, LOOK);
  for (let i = 0; i < end; i++) {
    if (bytes[i] < 9 || (bytes[i] > 13 && bytes[i] < 32 && bytes[i] !== 26)) return false;
  }
  const scanner = new ByteScanner(bytes, end);
  while (scanner.at < end) {
    if (scanner.wordOnLine() && scanner.is('v') && scanner.wordOnLine()) {
      if (!Number.isNaN(scanner.number()) || scanner.is('nan') || scanner.is('inf')) return true;
    }
    scanner.skipLine();
  }
  return false;
}

class ObjReader {
  readonly scanner: ByteScanner;
  readonly positions;
  readonly corners;
  readonly ends;
  freeForm = 0;
  shortFaces = 0;
  name = '';

  constructor(bytes: Uint8Array) {
    this.scanner = new ByteScanner(bytes);
    // A corner line takes about 30 bytes, a face line about 20, and there are twice as many faces.
    this.positions = growingDoubles(Math.ceil(bytes.length / 25) + 64);
    this.corners = growingInts(Math.ceil(bytes.length / 12) + 64);
    this.ends = growingInts(Math.ceil(bytes.length / 35) + 64);
  }

  readBatch(): void {
    const { scanner } = this;
    for (let lines = 0; lines < BATCH && scanner.at < scanner.limit; lines++) {
      if (this.#word()) {
        if (scanner.is('v')) this.#readCorner();
        else if (scanner.is('f') || scanner.is('fo')) this.#readFace();
        else if (scanner.is('surf') || scanner.is('curv')) this.freeForm++;
        else if (scanner.is('o') && this.name === '' && this.#word()) this.name = scanner.text(80);
        // A continued comment is not a thing, but any other line may go on.
        else if (scanner.bytes[scanner.start] !== 35) while (this.#word()) continue;
      }
      scanner.skipLine();
    }
  }

  /** The next word of the line, which a backslash at its end continues on the next. */
  #word(): boolean {
    const { scanner } = this;
    while (scanner.wordOnLine()) {
      const { bytes, end, limit } = scanner;
      if (bytes[end - 1] !== 92) return true;
      let at = end;
      while (at < limit && isBlank(bytes[at]) && !isLineEnd(bytes[at])) at++;
      if (at < limit && !isLineEnd(bytes[at])) return true;
      scanner.at = at;
      scanner.skipLine();
      scanner.end--;
      if (scanner.end > scanner.start) return true;
    }
    return false;
  }

  #readCorner(): void {
    for (let i = 0; i < 3; i++) this.positions.push(this.#word() ? this.scanner.number() : NaN);
  }

  #readFace(): void {
    const { corners, ends } = this;
    const from = corners.length;
    const known = this.positions.length / 3;
    while (this.#word()) {
      if (this.scanner.bytes[this.scanner.start] === 35) break;
      const index = this.#index();
      corners.push(index > 0 ? index - 1 : index < 0 && index !== NO_CORNER ? known + index : NO_CORNER);
    }
    if (corners.length - from < 3) {
      corners.length = from;
      this.shortFaces++;
    } else {
      ends.push(corners.length);
    }
  }

  /** The whole number before the first slash of the last word; {@link NO_CORNER} for anything else. */
  #index(): number {
    const { bytes, start, end } = this.scanner;
    let at = start;
    const negative = bytes[at] === 45;
    if (negative || bytes[at] === 43) at++;
    let value = 0;
    const first = at;
    while (at < end && bytes[at] >= 48 && bytes[at] <= 57) {
      value = value * 10 + bytes[at] - 48;
      if (value > 0x7ffffffe) return NO_CORNER;
      at++;
    }
    if (at === first || (at < end && bytes[at] !== 47)) return NO_CORNER;
    return negative ? -value : value;
  }
}

/**
 * Reads an OBJ: polygons of any size, negative and forward corner numbers, continued lines, any line end. Groups,
 * materials, normals and texture corners are ignored.
 */
export function* readObj(bytes: Uint8Array): Steps<RawMesh> {
  const reader = new ObjReader(bytes);
  while (reader.scanner.at < bytes.length) {
    reader.readBatch();
    yield (0.7 * reader.scanner.at) / bytes.length;
  }
  const findings: Finding[] = [];
  if (reader.freeForm > 0) {
    findings.push({
      code: 'free-form-left-out',
      severity: 'problem',
      message: `The file has ${reader.freeForm} free-form curves or surfaces; only polygons can be read, so they were left out.`,
      remedy: 'Export the pattern as triangles.',
    });
  }
  if (reader.shortFaces > 0) {
    findings.push({
      code: 'facets-dropped',
      severity: 'warning',
      message: `${reader.shortFaces} faces have fewer than three corners and were left out.`,
    });
  }
  if (reader.ends.length === 0) {
    const corners = Math.floor(reader.positions.length / 3);
    throw new OddsideError(
      'no-triangles',
      `The OBJ file has ${corners} corners but no face ("f" line) with three or more of them. ` +
        'A point cloud or a drawing of lines cannot be cast: make a surface of it first.',
      { format: 'obj', corners },
    );
  }
  const mesh = yield* collectPolygons(reader.positions.data, reader.positions.length / 3, reader);
  return { ...mesh, name: reader.name, findings: [...findings, ...mesh.findings] };
}
