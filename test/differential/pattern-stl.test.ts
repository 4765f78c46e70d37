/** The same triangles in the same order at the same places as three's STLLoader, on well-formed files. */
import { decodePattern } from '@oddside/pattern';
import { STLLoader } from 'three/examples/jsm/loaders/STLLoader.js';
import { expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { sphere, torus, type Mesh } from '../helpers/shapes.js';
import { asciiStl, binaryStl, bytesOf } from '../pattern/stl-bytes.js';

test.each<[string, Mesh]>([
  ['ball', sphere(10, 3)],
  ['ring', torus(20, 5)],
  ['hare', bunnyMesh()],
])('%s, binary and text', (_, mesh) => {
  for (const bytes of [binaryStl(mesh), bytesOf(asciiStl(mesh))]) {
    const theirs = new STLLoader().parse(bytes.buffer as ArrayBuffer).getAttribute('position').array;
    const { positions, triangles } = decodePattern(bytes, { unit: 'mm' });
    expect(triangles.length * 3).toBe(theirs.length);
    let off = 0;
    for (let i = 0; i < triangles.length; i++) {
      for (let k = 0; k < 3; k++) if (Math.fround(positions[triangles[i] * 3 + k]) !== theirs[i * 3 + k]) off++;
    }
    expect(off).toBe(0);
  }
});
