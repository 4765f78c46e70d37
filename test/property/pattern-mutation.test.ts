/** Good files with bytes changed, cut, repeated and spliced: only a valid pattern or an OddsideError may come out. */
import * as fc from 'fast-check';
import { isOddsideError } from '@oddside/core';
import { decodePattern, inspectPattern, measurePattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import { sphere } from '../helpers/shapes.js';
import {
  glb,
  gltfOf,
  meshXml,
  modelXml,
  objText,
  objectXml,
  plyBinary,
  plyText,
  threeMf,
} from '../pattern/other-bytes.js';
import { asciiStl, binaryStl, bytesOf } from '../pattern/stl-bytes.js';

const SEED = 20261125;
const RUNS = 250;
const ball = sphere(40, 1);
const { json, bin } = gltfOf(ball);

const files: readonly (readonly [string, Uint8Array])[] = [
  ['binary STL', binaryStl(ball)],
  ['text STL', bytesOf(asciiStl(ball))],
  ['OBJ', bytesOf(objText(ball))],
  ['text PLY', bytesOf(plyText(ball))],
  ['little endian PLY', plyBinary(ball, true)],
  ['big endian PLY', plyBinary(ball, false, true)],
  ['deflated 3MF', threeMf(modelXml(objectXml(1, meshXml(ball)), '<item objectid="1"/>'))],
  ['stored 3MF', threeMf(modelXml(objectXml(1, meshXml(ball)), '<item objectid="1"/>'), [], true)],
  ['GLB', glb(json, bin)],
];

interface Change {
  readonly kind: 'set' | 'cut' | 'repeat' | 'drop' | 'swap';
  readonly at: number;
  readonly size: number;
  readonly value: number;
}

const change = fc.record<Change>({
  kind: fc.constantFrom('set', 'set', 'set', 'cut', 'repeat', 'drop', 'swap'),
  at: fc.double({ min: 0, max: 1, noNaN: true }),
  size: fc.integer({ min: 1, max: 64 }),
  value: fc.oneof(fc.constantFrom(0, 1, 127, 128, 255, 32, 10, 45), fc.integer({ min: 0, max: 255 })),
});

function apply(bytes: Uint8Array, { kind, at, size, value }: Change): Uint8Array {
  const from = Math.floor(at * bytes.length);
  const before = bytes.subarray(0, from);
  const piece = bytes.subarray(from, from + size);
  const after = bytes.subarray(from + size);
  const join = (...parts: Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(parts));
  if (kind === 'cut') return before.slice();
  if (kind === 'repeat') return join(before, piece, piece, after);
  if (kind === 'drop') return join(before, after);
  if (kind === 'swap') return join(before, after.subarray(0, size), piece, after.subarray(size));
  const copy = bytes.slice();
  copy.fill(value, from, from + Math.min(size, 4));
  return copy;
}

describe.each(files)('%s', (_, good) => {
  test(`${RUNS} mutations, seed ${SEED}`, () => {
    let refused = 0;
    fc.assert(
      fc.property(fc.array(change, { minLength: 1, maxLength: 4 }), (changes) => {
        const bytes = changes.reduce(apply, good);
        const before = process.cpuUsage();
        try {
          const pattern = decodePattern(bytes);
          // Both throw on arrays that make no mesh.
          const inspection = inspectPattern(pattern);
          const measures = measurePattern(pattern);
          expect(inspection.triangles).toBeGreaterThan(0);
          expect(Number.isFinite(measures.volumeMm3) && Number.isFinite(measures.areaMm2)).toBe(true);
        } catch (error) {
          if (!isOddsideError(error)) throw error;
          refused++;
        }
        // Far above anything a sound reader needs for a few kilobytes: this is for hangs, not for speed, and in this
        // process's own time, so that a busy machine changes nothing.
        expect(process.cpuUsage(before).user).toBeLessThan(10_000_000);
      }),
      { seed: SEED, numRuns: RUNS },
    );
    expect(refused).toBeLessThan(RUNS);
  }, 240_000);

  test('the file itself is read', () => {
    expect(inspectPattern(decodePattern(good))).toMatchObject({ closed: true, triangles: 80 });
  });
});
