import { makeScene, readScene, TONE, toBase64, fromBase64 } from '@oddside/card';
import { isOddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import { box, rotate, seededRandom, sphere, translate } from '../helpers/shapes.js';

const codeOf = (run: () => unknown): string | undefined => {
  try {
    run();
  } catch (error) {
    if (isOddsideError(error)) return error.code;
    throw error;
  }
  return undefined;
};

describe('fromBase64', () => {
  it('reads back what toBase64 writes, at every length', () => {
    const random = seededRandom(8);
    for (let size = 0; size < 70; size++) {
      const bytes = Uint8Array.from({ length: size }, () => Math.floor(random() * 256));
      expect(fromBase64(toBase64(bytes))).toEqual(bytes);
    }
  });
  it.each(['abc', 'ab=c', 'a===', '!!!!', 'abcd\n'])('refuses %j', (text) => expect(fromBase64(text)).toBeUndefined());
});

describe('a scene', () => {
  const mesh = translate(rotate(sphere(120, 4), [1, 2, 3], 40), [1000, -5, 3]);
  const count = mesh.triangles.length / 3;
  const tones = Uint8Array.from({ length: count }, (_, t) => [TONE.cope, TONE.drag, TONE.held][t % 3]);
  const ways = [
    { rank: 1, draw: [0, 0, 2] as const, jointHeight: 0, tones },
    { rank: 2, draw: [1, 0, 0] as const, jointHeight: 4.5, tones: new Uint8Array(count) },
  ];

  it('comes back as it was, corners to half a step', () => {
    const scene = makeScene(mesh, { ways });
    const back = readScene(JSON.parse(JSON.stringify(scene)));
    expect(back.triangles).toEqual(mesh.triangles);
    for (const [i, value] of mesh.positions.entries()) {
      expect(Math.abs(back.positions[i] - value)).toBeLessThanOrEqual(0.5000001 * scene.step[i % 3]);
    }
    expect(Math.max(...scene.step)).toBeLessThan(0.0037);
    expect(back.ways[0]).toEqual({ rank: 1, draw: [0, 0, 1], jointHeight: 0, tones });
    expect(back.ways[1]).toMatchObject({ rank: 2, draw: [1, 0, 0], jointHeight: 4.5 });
  });

  it('holds a flat thing and an empty one', () => {
    const flat = { positions: Float64Array.from([0, 0, 5, 1, 0, 5, 0, 1, 5]), triangles: Uint32Array.from([0, 1, 2]) };
    expect([...readScene(makeScene(flat, { ways: [] })).positions]).toEqual([...flat.positions]);
    const none = { positions: new Float64Array(0), triangles: new Uint32Array(0) };
    expect(readScene(makeScene(none, { ways: [] })).positions.length).toBe(0);
  });

  it('is not made from what does not fit', () => {
    const cube = box();
    const made = (change: object, from = cube): string | undefined =>
      codeOf(() =>
        makeScene(from, { ways: [{ rank: 1, draw: [0, 0, 1], jointHeight: 0, tones: new Uint8Array(12), ...change }] }),
      );
    expect(made({})).toBeUndefined();
    expect(made({ tones: new Uint8Array(11) })).toBe('bad-option');
    expect(made({ tones: new Uint8Array(12).fill(77) })).toBe('bad-option');
    expect(made({ jointHeight: NaN })).toBe('bad-number');
    expect(made({ draw: [0, 0, 0] })).toBe('bad-direction');
    expect(made({}, { ...cube, positions: cube.positions.map(() => NaN) })).toBe('bad-pattern');
    expect(made({}, { ...cube, positions: cube.positions.slice(0, 9) })).toBe('bad-pattern');
  });

  it('is not read when it was cut short or changed', () => {
    const scene = makeScene(mesh, { ways });
    const read = (change: object): string | undefined => codeOf(() => readScene({ ...scene, ...change }));
    expect(read({})).toBeUndefined();
    expect(read({ corners: scene.corners - 1 })).toBe('bad-file');
    expect(read({ positions: scene.positions.slice(4) })).toBe('bad-file');
    expect(read({ indices: `${scene.indices.slice(0, -4)}////` })).toBe('bad-file');
    expect(read({ indices: scene.indices.replace(/./, '*') })).toBe('bad-file');
    expect(read({ ways: [{ ...scene.ways[0], tones: 'AAAA' }] })).toBe('bad-file');
  });
});
