/** Binary STL: 80 bytes of anything, a count, then 50 bytes a facet. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { isCoordinate, type RawMesh } from './raw-mesh.js';
import { CornerWelder } from './weld-corners.js';

const HEADER = 84;
const FACET = 50;
/** Facets between two yields: about 5 ms of work. */
const BATCH = 20000;

/** True when the file's size is exactly what its own count asks for. */
export function isExactBinaryStl(bytes: Uint8Array): boolean {
  return bytes.length >= HEADER && bytes.length === HEADER + FACET * declaredCount(bytes);
}

/**
 * True when most records read as facets: finite corners of a believable size and a normal that is a unit vector, zero or
 * unusable. Tells a damaged STL from a file that is no STL at all.
 */
export function looksLikeFacets(bytes: Uint8Array, first: number = 0, count: number = Infinity): boolean {
  const there = Math.floor((bytes.length - HEADER) / FACET);
  const last = Math.min(there, first + count);
  if (last <= first) return false;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const stride = Math.max(1, Math.floor((last - first) / 500));
  let seen = 0;
  let good = 0;
  for (let facet = first; facet < last; facet += stride) {
    seen++;
    if (isFacet(view, HEADER + facet * FACET)) good++;
  }
  return good * 2 > seen;
}

function isFacet(view: DataView, at: number): boolean {
  const nx = view.getFloat32(at, true);
  const ny = view.getFloat32(at + 4, true);
  const nz = view.getFloat32(at + 8, true);
  const square = nx * nx + ny * ny + nz * nz;
  if (square > 0 && (square < 0.5 || square > 2)) return false;
  let tiny = 0;
  for (let i = 12; i < 48; i += 4) {
    const value = Math.abs(view.getFloat32(at + i, true));
    if (!(value < 1e9)) return false;
    // Text and whole numbers read as floats come out as such dust; one or two may be true noise around zero.
    if (value !== 0 && value < 1e-20) tiny++;
  }
  return tiny < 5;
}

function declaredCount(bytes: Uint8Array): number {
  return new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength).getUint32(80, true);
}

/** How many facets to read when count and size disagree, and what to say about it. */
function settleCount(bytes: Uint8Array, findings: Finding[]): number {
  const declared = declaredCount(bytes);
  const room = bytes.length - HEADER;
  const there = Math.floor(room / FACET);
  if (declared === there && room % FACET === 0) return declared;
  if (there > 0 && !looksLikeFacets(bytes, 0, declared > 0 ? declared : Infinity)) {
    throw new OddsideError(
      'bad-file',
      `An STL file was expected, but its size (${bytes.length} bytes) does not fit its count (${declared} triangles, ` +
        `bytes 80–83) and what follows does not read as triangles. Check that the file is an STL and is complete.`,
      { format: 'stl', offset: 80, declared, bytes: bytes.length },
    );
  }
  if (declared > there) {
    findings.push({
      code: 'file-cut-short',
      severity: 'problem',
      message:
        `The file says it holds ${declared} triangles but ends after ${there} of them ` +
        `(byte ${HEADER + there * FACET}); those ${there} were read.`,
      remedy: 'If the pattern is not closed, the file was cut off: copy or export it again.',
    });
    return there;
  }
  if (room % FACET === 0 && looksLikeFacets(bytes, declared, Infinity)) {
    findings.push({
      code: 'count-too-small',
      severity: 'warning',
      message: `The file says it holds ${declared} triangles but ${there} are there; all ${there} were read.`,
      remedy: 'Look at the picture: if there is more than the pattern, export it again.',
    });
    return there;
  }
  findings.push({
    code: 'trailing-bytes',
    severity: 'note',
    message:
      `${room - declared * FACET} bytes after the last of ${declared} triangles ` +
      `(byte ${HEADER + declared * FACET}) do not belong to the STL and were left out.`,
  });
  return declared;
}

/** Reads a binary STL. Colours and stored normals are ignored: the order of the corners says which side is out. */
export function* readBinaryStl(bytes: Uint8Array): Steps<RawMesh> {
  if (bytes.length < HEADER) {
    throw new OddsideError(
      'bad-file',
      `A binary STL has at least ${HEADER} bytes, but the file has ${bytes.length}. It was cut off or is no STL.`,
      { format: 'stl', offset: bytes.length },
    );
  }
  const findings: Finding[] = [];
  const count = settleCount(bytes, findings);
  const welder = new CornerWelder(Math.ceil(count / 2) + 8);
  const triangles = new Uint32Array(count * 3);
  let kept = 0;
  for (let first = 0; first < count; first += BATCH) {
    kept = readBatch(bytes, first, Math.min(first + BATCH, count), welder, triangles, kept);
    yield first / count;
  }
  const dropped = count - kept;
  if (dropped > 0) findings.push(droppedForNumbers(dropped, count));
  return {
    positions: welder.finish(),
    triangles: dropped > 0 ? triangles.slice(0, kept * 3) : triangles,
    findings,
  };
}

function readBatch(
  bytes: Uint8Array,
  from: number,
  to: number,
  welder: CornerWelder,
  triangles: Uint32Array,
  kept: number,
): number {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (let facet = from; facet < to; facet++) {
    const at = HEADER + facet * FACET;
    const ax = view.getFloat32(at + 12, true);
    const ay = view.getFloat32(at + 16, true);
    const az = view.getFloat32(at + 20, true);
    const bx = view.getFloat32(at + 24, true);
    const by = view.getFloat32(at + 28, true);
    const bz = view.getFloat32(at + 32, true);
    const cx = view.getFloat32(at + 36, true);
    const cy = view.getFloat32(at + 40, true);
    const cz = view.getFloat32(at + 44, true);
    const good =
      isCoordinate(ax) && isCoordinate(ay) && isCoordinate(az) &&
      isCoordinate(bx) && isCoordinate(by) && isCoordinate(bz) &&
      isCoordinate(cx) && isCoordinate(cy) && isCoordinate(cz); // prettier-ignore
    if (!good) continue;
    const slot = kept * 3;
    triangles[slot] = welder.add(ax, ay, az);
    triangles[slot + 1] = welder.add(bx, by, bz);
    triangles[slot + 2] = welder.add(cx, cy, cz);
    kept++;
  }
  return kept;
}

/** The finding for triangles whose coordinates are not usable. */
export function droppedForNumbers(dropped: number, of: number): Finding {
  return {
    code: 'triangles-dropped',
    severity: 'problem',
    message:
      `${dropped} of ${of} triangles have a corner that is not a usable number (NaN, infinite or absurdly large) and ` +
      `were left out; they leave holes.`,
    remedy: 'Mend the pattern, or export the file again.',
  };
}
