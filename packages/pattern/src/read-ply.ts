/** PLY: text, little or big endian. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { collectPolygons } from './collect-polygons.js';
import { growingDoubles, growingInts } from './grow-array.js';
import type { RawMesh } from './raw-mesh.js';
import { readPlyHeader, type PlyElement, type PlyHeader } from './read-ply-header.js';
import { PlyBinaryRows, PlyTextRows, type PlyRows } from './read-ply-rows.js';

const BATCH = 20000;

class PlyReader {
  readonly positions;
  readonly corners;
  readonly ends;
  readonly findings: Finding[] = [];
  badRows = 0;

  constructor(bytes: Uint8Array) {
    this.positions = growingDoubles(Math.ceil(bytes.length / 8) + 64);
    this.corners = growingInts(Math.ceil(bytes.length / 8) + 64);
    this.ends = growingInts(Math.ceil(bytes.length / 24) + 64);
  }

  takeCorner(rows: PlyRows, place: readonly number[]): void {
    for (let axis = 0; axis < 3; axis++) this.positions.push(rows.valid ? rows.scalars[place[axis]] : NaN);
  }

  takeFace(rows: PlyRows): void {
    const { list, listLength } = rows;
    if (!rows.valid || listLength < 3) {
      this.badRows++;
      return;
    }
    for (let i = 0; i < listLength; i++) this.corners.push(cornerOf(list[i]));
    this.ends.push(this.corners.length);
  }

  /** A strip: each corner makes a triangle with the two before it, turned over every other time; -1 starts anew. */
  takeStrip(rows: PlyRows): void {
    if (!rows.valid) {
      this.badRows++;
      return;
    }
    let run = 0;
    for (let i = 0; i < rows.listLength; i++) {
      const corner = rows.list[i];
      if (corner === -1 || corner === 0xffffffff) {
        run = 0;
        continue;
      }
      if (++run < 3) continue;
      const odd = run % 2 === 0;
      this.corners.push(cornerOf(rows.list[i - (odd ? 1 : 2)]));
      this.corners.push(cornerOf(rows.list[i - (odd ? 2 : 1)]));
      this.corners.push(cornerOf(corner));
      this.ends.push(this.corners.length);
    }
  }
}

/** A value as a corner number; -1 for one that is none, which is then counted as missing. */
function cornerOf(value: number): number {
  return Number.isInteger(value) && value >= 0 && value < 0x7fffffff ? value : -1;
}

/** Reads a PLY: any scalar and list types, extra elements and properties, polygons of any size, triangle strips. */
export function* readPly(bytes: Uint8Array): Steps<RawMesh> {
  const header = readPlyHeader(bytes);
  const vertex = header.elements.find((element) => element.name === 'vertex');
  const faces = header.elements.find((element) => element.name === 'face' || element.name === 'tristrips');
  if (!vertex || !faces) throw missing(header, vertex ? 'face' : 'vertex');
  const place = ['x', 'y', 'z'].map((axis) => vertex.properties.findIndex((p) => p.name === axis && !p.countType));
  if (place.includes(-1)) throw missing(header, `vertex ${['x', 'y', 'z'][place.indexOf(-1)]}`);
  const reader = new PlyReader(bytes);
  const rows = header.encoding === 'ascii' ? new PlyTextRows(bytes, header) : new PlyBinaryRows(bytes, header);
  for (const element of header.elements) {
    yield* readElement(rows, element, reader, place);
    if (rows.cutAt >= 0) {
      reader.findings.push({
        code: 'file-cut-short',
        severity: 'problem',
        message:
          `The file ends in element "${element.name}": ${rows.done} of ${element.count} rows are there ` +
          `(byte ${rows.cutAt}).`,
        remedy: 'The file was cut off: copy or export it again.',
      });
      break;
    }
  }
  if (reader.badRows > 0) {
    reader.findings.push({
      code: 'facets-dropped',
      severity: 'problem',
      message: `${reader.badRows} faces cannot be read or have fewer than three corners and were left out.`,
      remedy: 'Mend the pattern, or export the file again.',
    });
  }
  const mesh = yield* collectPolygons(reader.positions.data, reader.positions.length / 3, reader);
  return { ...mesh, findings: [...reader.findings, ...mesh.findings] };
}

function* readElement(rows: PlyRows, element: PlyElement, reader: PlyReader, place: readonly number[]): Steps<void> {
  rows.start(element);
  if (element.properties.length === 0) return;
  const isVertex = element.name === 'vertex';
  const isStrip = element.name === 'tristrips';
  const isFace = element.name === 'face' && rows.hasList;
  while (rows.done < element.count && rows.cutAt < 0) {
    const to = Math.min(rows.done + BATCH, element.count);
    while (rows.done < to && rows.next()) {
      if (isVertex) reader.takeCorner(rows, place);
      else if (isFace) reader.takeFace(rows);
      else if (isStrip) reader.takeStrip(rows);
    }
    yield 0.5;
  }
}

function missing(header: PlyHeader, what: string): OddsideError {
  const there = header.elements.map((e) => `${e.name} (${e.properties.map((p) => p.name).join(' ')})`).join(', ');
  return new OddsideError(
    what === 'face' ? 'no-triangles' : 'bad-file',
    `The PLY has no "${what}"; it has ${there || 'no elements'}. A mesh with vertex x y z and face was expected.`,
    { format: 'ply', missing: what },
  );
}
