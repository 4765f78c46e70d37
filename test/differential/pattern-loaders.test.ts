/** The same triangles in the same order at the same places as three's loaders, on well-formed files. */
import { decodePattern, encodePattern } from '@oddside/pattern';
import { DOMParser } from 'linkedom';
import { Mesh as ThreeMesh, Vector3, type BufferGeometry } from 'three';
import { ThreeMFLoader } from 'three/examples/jsm/loaders/3MFLoader.js';
import { GLTFLoader } from 'three/examples/jsm/loaders/GLTFLoader.js';
import { OBJLoader } from 'three/examples/jsm/loaders/OBJLoader.js';
import { PLYLoader } from 'three/examples/jsm/loaders/PLYLoader.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { asPattern, lippedChannel, sphere, torus, type Mesh } from '../helpers/shapes.js';
import { glb, gltfOf, objText, plyBinary, plyText } from '../pattern/other-bytes.js';
import { bytesOf } from '../pattern/stl-bytes.js';

/** Corners of all triangles in order, after the mesh's own placing. */
function cornersOf(geometry: BufferGeometry, mesh?: ThreeMesh): number[] {
  const flat = geometry.index ? geometry.toNonIndexed() : geometry;
  const position = flat.getAttribute('position');
  const corners: number[] = [];
  for (let i = 0; i < position.count; i++) {
    const point = new Vector3().fromBufferAttribute(position, i);
    if (mesh) point.applyMatrix4(mesh.matrixWorld);
    corners.push(point.x, point.y, point.z);
  }
  return corners;
}

function expectSame(bytes: Uint8Array, theirs: number[], factor = 1): void {
  const { positions, triangles } = decodePattern(bytes);
  expect(triangles.length * 3).toBe(theirs.length);
  let worst = 0;
  const size = positions.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  for (let i = 0; i < theirs.length; i++) {
    const ours = positions[triangles[Math.floor(i / 3)] * 3 + (i % 3)];
    worst = Math.max(worst, Math.abs(ours - theirs[i] * factor));
  }
  // three keeps 32-bit floats.
  expect(worst / size).toBeLessThan(2e-7);
}

const meshes: [string, Mesh][] = [
  ['ball', sphere(10, 3)],
  ['ring', torus(20, 5)],
  ['channel', lippedChannel(5)],
  ['hare', bunnyMesh()],
];

// three's 3MF loader reads XML with a browser's parser; linkedom brings one to Node.
const scope = globalThis as { DOMParser?: unknown };
const before = scope.DOMParser;
beforeAll(() => {
  scope.DOMParser = DOMParser;
});
afterAll(() => {
  scope.DOMParser = before;
});

describe.each(meshes)('%s', (_, mesh) => {
  test('OBJ', () => {
    const text = objText(mesh);
    const group = new OBJLoader().parse(text);
    expectSame(bytesOf(text), cornersOf((group.children[0] as ThreeMesh).geometry));
  });

  test('PLY, text and both binaries', () => {
    const text = plyText(mesh);
    expectSame(bytesOf(text), cornersOf(new PLYLoader().parse(text)));
    for (const bytes of [plyBinary(mesh, true), plyBinary(mesh, false), plyBinary(mesh, true, true)]) {
      expectSame(bytes, cornersOf(new PLYLoader().parse(bytes.buffer)));
    }
  });

  test('3MF, in millimetres because their loader drops the unit', () => {
    const bytes = encodePattern(asPattern(mesh), '3mf');
    const group = new ThreeMFLoader().parse(bytes.slice().buffer);
    group.updateMatrixWorld(true);
    let found: ThreeMesh | undefined;
    group.traverse((node) => {
      if (node instanceof ThreeMesh) found = node;
    });
    expectSame(bytes, cornersOf(found!.geometry, found));
  });

  test('GLB with nested, turned and scaled nodes', async () => {
    const { json, bin } = gltfOf(mesh, 4);
    json.nodes = [
      { children: [1], rotation: [0, 0.6, 0, 0.8], translation: [1, 2, 3] },
      { mesh: 0, scale: [2, 3, 0.5], rotation: [0.5, 0.5, 0.5, 0.5] },
    ];
    const bytes = glb(json, bin);
    const loaded = await new GLTFLoader().parseAsync(bytes.buffer, '');
    loaded.scene.updateMatrixWorld(true);
    let found: ThreeMesh | undefined;
    loaded.scene.traverse((node) => {
      if (node instanceof ThreeMesh) found = node;
    });
    expectSame(bytes, cornersOf(found!.geometry, found), 1000);
  });
});
