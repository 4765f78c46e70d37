/** 3MF: a zip archive of XML parts. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { TriangleCollector } from './collect-triangles.js';
import { MODEL_RELATION } from './names-3mf.js';
import { XmlStream, type XmlElement, type XmlHandler } from './parse-xml.js';
import { placeParts, type PlacedPart } from './place-parts.js';
import type { RawMesh } from './raw-mesh.js';
import { ModelHandler, type Model3mf, type Object3mf, type Use } from './read-3mf-model.js';
import { listZipParts, partName, unpackPart, type ZipPart } from './read-zip.js';

const RELATIONS = '_rels/.rels';
/** True 3MF parts pack 5 to 20 times; beyond 100 it is not a mesh. Small parts may do what they like. */
const MOST_PACKING = 100;
const SMALL_PART = 32 << 20;
const LARGEST_PART = 512 << 20;
/** The whole file's parts together, against many middling bombs. */
const MOST_MODELS = 1000;

/** Reads a 3MF: all build items with their components and transforms, in the unit the file states. */
export function* read3mf(bytes: Uint8Array): Steps<RawMesh> {
  const parts = listZipParts(bytes);
  const findings: Finding[] = [];
  const root = rootPart(bytes, parts, findings);
  const models = new Map<string, Model3mf>();
  const wanted = [root];
  let budget = LARGEST_PART;
  while (wanted.length > 0) {
    const name = wanted.pop()!;
    if (models.has(name)) continue;
    if (models.size >= MOST_MODELS) throw refuse(`it has more than ${MOST_MODELS} model parts`);
    const part = parts.get(name);
    if (!part) throw refuse(`part "${name}" is missing`);
    budget -= part.size;
    if (budget < 0) {
      throw new OddsideError(
        'file-too-large',
        `The model parts of the 3MF unpack to more than ${LARGEST_PART} bytes. Reduce the mesh, or save it as STL.`,
        { format: '3mf', part: name },
      );
    }
    const model = yield* readModel(bytes, part);
    models.set(name, model);
    for (const use of [...model.build, ...model.objects.flatMap((object) => object.uses)]) wanted.push(partOf(use.key));
  }
  const rootModel = models.get(root)!;
  const objects = new Map([...models.values()].flatMap((model) => model.objects.map((object) => [object.key, object])));
  checkUses(objects, rootModel);
  const mesh = placeObjects(objects, rootModel, bytes.length, findings);
  const named = rootModel.build.map((use) => objects.get(use.key)!.name).find((name) => name !== '');
  return { ...mesh, unit: rootModel.unit, name: named, findings: [...findings, ...mesh.findings] };
}

function refuse(what: string): OddsideError {
  return new OddsideError('bad-file', `The 3MF cannot be read: ${what}.`, { format: '3mf' });
}

const partOf = (key: string): string => key.slice(0, key.lastIndexOf('#'));

/** The model part that the archive's relations name, else the only one there is. */
function rootPart(bytes: Uint8Array, parts: Map<string, ZipPart>, findings: Finding[]): string {
  const relations = parts.get(RELATIONS);
  if (relations) {
    const handler = new RelationHandler();
    const xml = new XmlStream(RELATIONS, handler);
    for (const piece of unpackPart(bytes, relations, 1 << 20)) xml.write(piece);
    xml.finish();
    if (handler.target !== undefined) return partName(handler.target);
  }
  const models = [...parts.keys()].filter((name) => name.endsWith('.model'));
  if (models.length === 1) {
    findings.push({
      code: 'relations-missing',
      severity: 'note',
      message: `The 3MF does not say which part is its model; "${models[0]}", the only one, was read.`,
    });
    return models[0];
  }
  throw new OddsideError(
    parts.size > 0 && models.length === 0 ? 'unsupported-file' : 'bad-file',
    models.length === 0
      ? 'The file is a zip archive but holds no 3MF model. If a mesh is inside, unpack it first.'
      : `The 3MF does not say which of its ${models.length} model parts is the model.`,
    { format: '3mf' },
  );
}

class RelationHandler implements XmlHandler {
  target: string | undefined;

  open({ name, attributes }: XmlElement): void {
    if (name === 'Relationship' && attributes.Type === MODEL_RELATION) this.target ??= attributes.Target;
  }

  close(): void {}
}

function* readModel(bytes: Uint8Array, part: ZipPart): Steps<Model3mf> {
  const cap = Math.min(LARGEST_PART, Math.max(SMALL_PART, part.packedSize * MOST_PACKING));
  const handler = new ModelHandler(part.name);
  const xml = new XmlStream(part.name, handler);
  let read = 0;
  for (const piece of unpackPart(bytes, part, cap)) {
    // A piece may be megabytes of one repeated byte; small bites keep the pauses short.
    for (let at = 0; at < piece.length; at += 65536) {
      xml.write(piece.subarray(at, at + 65536));
      read += 65536;
      yield (0.8 * Math.min(read, part.size)) / Math.max(1, part.size);
    }
  }
  xml.finish();
  return handler.model;
}

function checkUses(objects: ReadonlyMap<string, Object3mf>, root: Model3mf): void {
  const check = (use: Use): void => {
    if (!objects.has(use.key)) throw refuse(`${use.element} is missing (part "${partOf(use.key)}")`);
  };
  root.build.forEach(check);
  for (const object of objects.values()) object.uses.forEach(check);
}

function placeObjects(
  objects: ReadonlyMap<string, Object3mf>,
  root: Model3mf,
  fileSize: number,
  findings: Finding[],
): ReturnType<TriangleCollector['finish']> {
  const parts = new Map<string, PlacedPart>();
  let supports = 0;
  for (const object of objects.values()) {
    const support = object.type === 'support' || object.type === 'solidsupport';
    if (support) supports++;
    const uses = support ? [] : object.uses.map(({ key, placing }) => ({ part: key, placing }));
    const triangles = support ? 0 : object.corners.length / 3;
    parts.set(object.key, { label: `object ${object.key.split('#').pop()}`, triangles, uses });
  }
  let roots = root.build.map(({ key, placing }) => ({ part: key, placing }));
  if (roots.length === 0) {
    const used = new Set([...objects.values()].flatMap((object) => object.uses.map((use) => use.key)));
    roots = root.objects
      .filter((object) => !used.has(object.key))
      .map(({ key }) => ({ part: key, placing: undefined }));
    findings.push({
      code: 'nothing-to-build',
      severity: 'warning',
      message: `The 3MF lists nothing to build; all its ${roots.length} objects were read as they lie.`,
    });
  }
  const collector = new TriangleCollector([...parts.values()].reduce((sum, part) => sum + part.triangles, 0));
  const { flattened } = placeParts('3MF', parts, roots, fileSize, (key, placing) => {
    const { positions, corners } = objects.get(key)!;
    collector.startPart({ positions: positions.data, count: positions.length / 3 }, placing);
    for (let i = 0; i < corners.length; i += 3)
      collector.add(corners.data[i], corners.data[i + 1], corners.data[i + 2]);
  });
  if (supports > 0) {
    findings.push({
      code: 'supports-left-out',
      severity: 'note',
      message: `${supports} support objects (for printing) were left out.`,
    });
  }
  if (flattened > 0) {
    findings.push({
      code: 'parts-flattened',
      severity: 'problem',
      message: `${flattened} parts are placed by a transform that flattens them; they were left out.`,
    });
  }
  return collector.finish();
}
