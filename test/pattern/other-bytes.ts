/** OBJ, PLY, 3MF and GLB files for tests, written without the package under test. */
import { deflateRawSync } from 'node:zlib';
import type { Mesh } from '../helpers/mesh.js';
import { bytesOf } from './stl-bytes.js';

type Bytes = Uint8Array<ArrayBuffer>;

export function objText({ positions, triangles }: Mesh): string {
  const lines: string[] = [];
  for (let i = 0; i < positions.length; i += 3) lines.push(`v ${positions[i]} ${positions[i + 1]} ${positions[i + 2]}`);
  for (let t = 0; t < triangles.length; t += 3) {
    lines.push(`f ${triangles[t] + 1} ${triangles[t + 1] + 1} ${triangles[t + 2] + 1}`);
  }
  return `${lines.join('\n')}\n`;
}

export function plyHeader(
  mesh: Mesh,
  format: string,
  options: { coordinate?: string; count?: string; index?: string } = {},
): string {
  const { coordinate = 'float', count = 'uchar', index = 'int' } = options;
  return [
    'ply',
    `format ${format} 1.0`,
    `element vertex ${mesh.positions.length / 3}`,
    ...['x', 'y', 'z'].map((axis) => `property ${coordinate} ${axis}`),
    `element face ${mesh.triangles.length / 3}`,
    `property list ${count} ${index} vertex_indices`,
    'end_header\n',
  ].join('\n');
}

export function plyText(mesh: Mesh): string {
  const lines: string[] = [];
  for (let i = 0; i < mesh.positions.length; i += 3) lines.push(mesh.positions.slice(i, i + 3).join(' '));
  for (let t = 0; t < mesh.triangles.length; t += 3) lines.push(`3 ${mesh.triangles.slice(t, t + 3).join(' ')}`);
  return `${plyHeader(mesh, 'ascii') + lines.join('\n')}\n`;
}

/** Binary, float coordinates or doubles, uchar counts, int corners. */
export function plyBinary(mesh: Mesh, little: boolean, doubles = false): Bytes {
  const header = bytesOf(
    plyHeader(mesh, little ? 'binary_little_endian' : 'binary_big_endian', {
      coordinate: doubles ? 'double' : 'float',
    }),
  );
  const size = doubles ? 8 : 4;
  const corners = mesh.positions.length;
  const bytes = new Uint8Array(header.length + corners * size + (mesh.triangles.length / 3) * 13);
  bytes.set(header);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (const coordinate of mesh.positions) {
    if (doubles) view.setFloat64(at, coordinate, little);
    else view.setFloat32(at, coordinate, little);
    at += size;
  }
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    view.setUint8(at, 3);
    for (let k = 0; k < 3; k++) view.setInt32(at + 1 + 4 * k, mesh.triangles[t + k], little);
    at += 13;
  }
  return bytes;
}

export interface ZipEntry {
  readonly name: string;
  readonly content: Uint8Array | string;
  readonly stored?: boolean;
  /** What the directory says instead of the truth. */
  readonly lie?: { crc?: number; size?: number; packedSize?: number; flags?: number; method?: number; offset?: number };
}

function crcOf(bytes: Uint8Array): number {
  let crc = -1;
  for (const byte of bytes) {
    crc ^= byte;
    for (let k = 0; k < 8; k++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ -1) >>> 0;
}

export function zip(entries: readonly ZipEntry[]): Bytes {
  const pieces: Buffer[] = [];
  const directory: Buffer[] = [];
  let at = 0;
  for (const { name, content, stored, lie = {} } of entries) {
    const plain = typeof content === 'string' ? bytesOf(content) : content;
    const packed = stored ? Buffer.from(plain) : deflateRawSync(plain, { level: 9 });
    const known = {
      crc: lie.crc ?? crcOf(plain), size: plain.length, packedSize: packed.length, flags: 0, method: stored ? 0 : 8, offset: at, ...lie,
    }; // prettier-ignore
    const label = Buffer.from(name);
    const local = Buffer.alloc(30);
    local.writeUInt32LE(0x04034b50, 0);
    local.writeUInt16LE(known.flags, 6);
    local.writeUInt16LE(known.method, 8);
    local.writeUInt32LE(known.crc, 14);
    local.writeUInt32LE(known.packedSize, 18);
    local.writeUInt32LE(known.size, 22);
    local.writeUInt16LE(label.length, 26);
    const central = Buffer.alloc(46);
    central.writeUInt32LE(0x02014b50, 0);
    central.writeUInt16LE(known.flags, 8);
    central.writeUInt16LE(known.method, 10);
    central.writeUInt32LE(known.crc, 16);
    central.writeUInt32LE(known.packedSize, 20);
    central.writeUInt32LE(known.size, 24);
    central.writeUInt16LE(label.length, 28);
    central.writeUInt32LE(known.offset, 42);
    pieces.push(local, label, packed);
    directory.push(central, label);
    at += 30 + label.length + packed.length;
  }
  const listing = Buffer.concat(directory);
  const end = Buffer.alloc(22);
  end.writeUInt32LE(0x06054b50, 0);
  end.writeUInt16LE(entries.length, 8);
  end.writeUInt16LE(entries.length, 10);
  end.writeUInt32LE(listing.length, 12);
  end.writeUInt32LE(at, 16);
  return new Uint8Array(Buffer.concat([...pieces, listing, end]));
}

export const CORE = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
const RELS = 'http://schemas.openxmlformats.org/package/2006/relationships';
const MODEL_TYPE = 'http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel';

export const relations = (target = '/3D/3dmodel.model'): string =>
  `<?xml version="1.0"?><Relationships xmlns="${RELS}"><Relationship Target="${target}" Id="r0" Type="${MODEL_TYPE}"/></Relationships>`;

export function meshXml({ positions, triangles }: Mesh): string {
  let xml = '<mesh><vertices>';
  for (let i = 0; i < positions.length; i += 3) {
    xml += `<vertex x="${positions[i]}" y="${positions[i + 1]}" z="${positions[i + 2]}"/>`;
  }
  xml += '</vertices><triangles>';
  for (let t = 0; t < triangles.length; t += 3) {
    xml += `<triangle v1="${triangles[t]}" v2="${triangles[t + 1]}" v3="${triangles[t + 2]}"/>`;
  }
  return `${xml}</triangles></mesh>`;
}

export const objectXml = (id: number | string, inside: string, more = ''): string =>
  `<object id="${id}" type="model" ${more}>${inside}</object>`;

export const modelXml = (resources: string, build: string, more = 'unit="millimeter"'): string =>
  `<?xml version="1.0" encoding="UTF-8"?><model ${more} xmlns="${CORE}"><resources>${resources}</resources><build>${build}</build></model>`;

/** A 3MF of one model part. */
export const threeMf = (model: string | Uint8Array, more: readonly ZipEntry[] = [], stored = false): Bytes =>
  zip([{ name: '_rels/.rels', content: relations() }, { name: '3D/3dmodel.model', content: model, stored }, ...more]);

/** A GLB from its JSON and its binary chunk. */
export function glb(json: unknown, bin: Uint8Array = new Uint8Array(0)): Bytes {
  const text = typeof json === 'string' ? json : JSON.stringify(json);
  const content = bytesOf(text + ' '.repeat((4 - (bytesOf(text).length % 4)) % 4));
  const padded = Math.ceil(bin.length / 4) * 4;
  const bytes = new Uint8Array(12 + 8 + content.length + (bin.length > 0 ? 8 + padded : 0));
  const view = new DataView(bytes.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, bytes.length, true);
  view.setUint32(12, content.length, true);
  view.setUint32(16, 0x4e4f534a, true);
  bytes.set(content, 20);
  if (bin.length > 0) {
    view.setUint32(20 + content.length, padded, true);
    view.setUint32(24 + content.length, 0x004e4942, true);
    bytes.set(bin, 28 + content.length);
  }
  return bytes;
}

/** Any part of a glTF's JSON. */
export interface Gltf {
  [key: string]: unknown;
}

/** JSON and binary chunk for one mesh: float positions, indices of the given width. */
export function gltfOf({ positions, triangles }: Mesh, indexBytes: 1 | 2 | 4 = 2): { json: Gltf; bin: Bytes } {
  const corners = new Uint8Array(Float32Array.from(positions).buffer);
  const order = new Uint8Array(
    (indexBytes === 1
      ? Uint8Array.from(triangles)
      : indexBytes === 2
        ? Uint16Array.from(triangles)
        : Uint32Array.from(triangles)
    ).buffer,
  );
  const bin = new Uint8Array(corners.length + order.length);
  bin.set(corners);
  bin.set(order, corners.length);
  return {
    json: {
      asset: { version: '2.0' },
      scene: 0,
      scenes: [{ nodes: [0] }],
      nodes: [{ mesh: 0 }],
      meshes: [{ primitives: [{ attributes: { POSITION: 0 }, indices: 1 }] }],
      accessors: [
        { bufferView: 0, componentType: 5126, count: positions.length / 3, type: 'VEC3' },
        {
          bufferView: 1,
          componentType: { 1: 5121, 2: 5123, 4: 5125 }[indexBytes],
          count: triangles.length,
          type: 'SCALAR',
        },
      ],
      bufferViews: [
        { buffer: 0, byteOffset: 0, byteLength: corners.length },
        { buffer: 0, byteOffset: corners.length, byteLength: order.length },
      ],
      buffers: [{ byteLength: bin.length }],
    },
    bin,
  };
}
