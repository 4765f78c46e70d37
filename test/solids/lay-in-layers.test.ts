import { describe, expect, it } from 'vitest';
import { layInLayers } from '../../packages/solids/src/lay-in-layers.js';

/** Triangles over one another in plan, given by their corners in plan; corners at the same place are one. All look up. */
function layersOf(...faces: [number, number][][]): number {
  const places = new Map<string, number>();
  const points: number[] = [];
  const triangles = faces.flatMap((face) =>
    face.map(([x, y]) => {
      const known = places.get(`${x} ${y}`);
      if (known !== undefined) return known;
      points.push(x, y, 0);
      places.set(`${x} ${y}`, points.length / 3 - 1);
      return points.length / 3 - 1;
    }),
  );
  const mesh = {
    points: Float32Array.from(points),
    triangles: Uint32Array.from(triangles),
    box: { min: [0, 0, 0], max: [10, 10, 0] },
    rounding: 1e-6,
  } as const;
  const all = Uint32Array.from(faces, (_, k) => k);
  return layInLayers(mesh, all, { upward: true, sink: 0, heightOver: () => 1 }).length;
}

describe('layInLayers', () => {
  const face: [number, number][] = [
    [0, 0],
    [4, 0],
    [0, 4],
  ];
  it.each<[string, [number, number][], number]>([
    [
      'apart',
      [
        [6, 6],
        [8, 6],
        [6, 8],
      ],
      1,
    ],
    [
      'beside it with a common edge',
      [
        [4, 0],
        [4, 4],
        [0, 4],
      ],
      1,
    ],
    [
      'at a common corner, outside',
      [
        [4, 0],
        [8, 0],
        [6, 3],
      ],
      1,
    ],
    [
      'over it',
      [
        [1, 1],
        [2, 1],
        [1, 2],
      ],
      2,
    ],
    [
      'touching it without a common corner',
      [
        [2, 2],
        [4, 2],
        [4, 4],
      ],
      2,
    ],
    // From the corner (0, 0) across the face and out beyond the edge opposite: that edge parts nothing.
    [
      'at a common corner, across to beyond the edge opposite',
      [
        [0, 0],
        [5, 4],
        [4, 5],
      ],
      2,
    ],
    [
      'at a common corner, partly over it',
      [
        [0, 0],
        [6, 1],
        [6, 8],
      ],
      2,
    ],
  ])('a face %s', (_, other, layers) => {
    expect(layersOf(face, other)).toBe(layers);
    expect(layersOf(other, face)).toBe(layers);
  });
});
