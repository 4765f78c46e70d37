/** glTF 2.0, binary (GLB) or text. Geometry only: materials, pictures, skins and animations are passed over. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { TriangleCollector, type Placing } from './collect-triangles.js';
import { placeParts, type PlacedPart } from './place-parts.js';
import type { RawMesh } from './raw-mesh.js';
import {
  entry,
  fault,
  isObject,
  NumberBudget,
  readAccessor,
  whole,
  type BufferSource,
  type Json,
} from './read-gltf-accessor.js';
import { openGltf } from './read-gltf-container.js';
import { nodePlacing } from './read-gltf-node.js';

/** Extensions that may be required: understood, or without effect on the shape. */
const HARMLESS =
  /^(KHR_mesh_quantization|KHR_materials_\w+|KHR_texture_\w+|KHR_lights_punctual|EXT_texture_\w+|KHR_xmp\w*)$/;

interface Primitive {
  readonly positions: Float64Array;
  /** Three for each triangle. */
  readonly corners: Float64Array;
}

/** Reads a GLB or glTF in metres, its own axes kept (y is up), all nodes of its scene placed. */
export function* readGltf(bytes: Uint8Array, given: Readonly<Record<string, Uint8Array>> = {}): Steps<RawMesh> {
  const { json, buffers } = openGltf(bytes, given);
  for (const name of Array.isArray(json.extensionsRequired) ? json.extensionsRequired : []) {
    if (HARMLESS.test(String(name))) continue;
    throw new OddsideError(
      'unsupported-file',
      `The glTF needs the extension "${String(name).slice(0, 80)}", which cannot be read. Save it without (no compression), or as STL.`,
      { format: 'gltf', extension: String(name).slice(0, 80) },
    );
  }
  const findings: Finding[] = [];
  const budget = new NumberBudget(bytes.length);
  const skipped = { drawings: 0, morphs: 0, skins: 0 };
  const meshes = new Map<number, Primitive[]>();
  const nodes = Array.isArray(json.nodes) ? json.nodes : [];
  const parts = new Map<string, PlacedPart>();
  const roots = rootNodes(json, nodes);
  const wanted = [...roots];
  const seen = new Set<number>(wanted);
  while (wanted.length > 0) {
    const index = wanted.pop()!;
    const node = entry(json, 'nodes', index, 'the scene');
    const children = list(node.children).map((child) => whole(child, `a child of node ${index}`));
    if (node.mesh !== undefined) {
      const mesh = whole(node.mesh, `the mesh of node ${index}`);
      if (!meshes.has(mesh)) {
        meshes.set(mesh, readMesh(json, buffers, mesh, skipped, budget));
        yield 0.5;
      }
      if (node.skin !== undefined) skipped.skins++;
    }
    for (const child of children) {
      if (seen.has(child)) continue;
      seen.add(child);
      wanted.push(child);
    }
    const own = node.mesh === undefined ? [] : meshes.get(node.mesh as number)!;
    const label = typeof node.name === 'string' ? `node ${index} "${node.name.slice(0, 40)}"` : `node ${index}`;
    parts.set(String(index), {
      label,
      triangles: own.reduce((sum, primitive) => sum + primitive.corners.length / 3, 0),
      uses: children.map((child) => ({
        part: String(child),
        placing: nodePlacing(entry(json, 'nodes', child, label), child),
      })),
    });
  }
  const collector = new TriangleCollector([...parts.values()].reduce((sum, part) => sum + part.triangles, 0));
  const starts = roots.map((index) => ({ part: String(index), placing: nodePlacing(nodes[index] as Json, index) }));
  const { flattened } = placeParts('glTF', parts, starts, bytes.length, (key, placing) => {
    for (const primitive of meshes.get((nodes[Number(key)] as Json).mesh as number)!)
      addPrimitive(collector, primitive, placing);
  });
  const mesh = collector.finish();
  noteSkipped(findings, { ...skipped, flattened });
  return { ...mesh, unit: 'm', findings: [...findings, ...mesh.findings] };
}

function addPrimitive(collector: TriangleCollector, primitive: Primitive, placing: Placing | undefined): void {
  const { positions, corners } = primitive;
  collector.startPart({ positions, count: positions.length / 3 }, placing);
  for (let i = 0; i < corners.length; i += 3) collector.add(corners[i], corners[i + 1], corners[i + 2]);
}

const list = (value: unknown): readonly unknown[] => (Array.isArray(value) ? value : []);

/** Nodes of the scene to show; without scenes, those that no other node contains. */
function rootNodes(json: Json, nodes: readonly unknown[]): number[] {
  if (list(json.scenes).length > 0) {
    const scene = entry(json, 'scenes', json.scene ?? 0, 'the file');
    return list(scene.nodes).map((node) => {
      const index = whole(node, 'a node of the scene');
      entry(json, 'nodes', index, 'the scene');
      return index;
    });
  }
  const inner = new Set(nodes.flatMap((node) => (isObject(node) ? list(node.children) : [])));
  const roots = [...nodes.keys()].filter((index) => !inner.has(index));
  if (nodes.length > 0 && roots.length === 0) throw fault('every node contains another that contains it');
  return roots;
}

function readMesh(
  json: Json,
  buffers: BufferSource,
  index: number,
  skipped: { drawings: number; morphs: number },
  budget: NumberBudget,
): Primitive[] {
  const mesh = entry(json, 'meshes', index, 'a node');
  const primitives: Primitive[] = [];
  for (const [number, primitive] of list(mesh.primitives).entries()) {
    const what = `primitive ${number} of mesh ${index}`;
    if (!isObject(primitive) || !isObject(primitive.attributes)) throw fault(`${what} has no attributes`);
    const mode = whole(primitive.mode, `the mode of ${what}`, 4);
    if (mode > 6) throw fault(`the mode of ${what} is ${mode}; 0 to 6 exist`);
    if (mode < 4) {
      skipped.drawings++;
      continue;
    }
    if (primitive.targets !== undefined) skipped.morphs++;
    const { POSITION } = primitive.attributes;
    if (POSITION === undefined) throw fault(`${what} has no positions`);
    const positions = readAccessor(json, buffers, POSITION, 3, [5126, 5120, 5121, 5122, 5123], what, budget);
    const order =
      primitive.indices === undefined
        ? Float64Array.from({ length: positions.length / 3 }, (_, i) => i)
        : readAccessor(json, buffers, primitive.indices, 1, [5121, 5123, 5125], what, budget);
    primitives.push({ positions, corners: asTriangles(order, mode) });
  }
  return primitives;
}

/** Corner numbers three by three, from a plain list (4), a strip (5) or a fan (6). */
function asTriangles(order: Float64Array, mode: number): Float64Array {
  if (mode === 4) return order.subarray(0, order.length - (order.length % 3));
  const count = Math.max(0, order.length - 2);
  const corners = new Float64Array(count * 3);
  for (let i = 0; i < count; i++) {
    const odd = mode === 5 && i % 2 === 1;
    corners[i * 3] = mode === 6 ? order[0] : order[odd ? i + 1 : i];
    corners[i * 3 + 1] = mode === 6 ? order[i + 1] : order[odd ? i : i + 1];
    corners[i * 3 + 2] = order[i + 2];
  }
  return corners;
}

function noteSkipped(
  findings: Finding[],
  skipped: { drawings: number; morphs: number; skins: number; flattened: number },
): void {
  const note = (count: number, code: string, message: string): void => {
    if (count > 0) findings.push({ code, severity: 'note', message: `${count} ${message}` });
  };
  note(skipped.drawings, 'drawings-left-out', 'sets of points or lines were left out.');
  note(skipped.morphs, 'morphs-left-out', 'sets of triangles can change shape; they were read as they are stored.');
  note(skipped.skins, 'skins-left-out', 'nodes bend with a skeleton; they were read as they are stored.');
  note(skipped.flattened, 'parts-flattened', 'parts are placed by a transform that flattens them; they were left out.');
}
